"""lasts: the gas source lasts for twice the journey."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.equipment import gas_lasts
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    source, frame = (view.layout.rig.part(name) for name in args)
    return tri(source is not None and frame is not None and gas_lasts(view.layout, source, frame))


FACT = FactEntry(
    name="lasts",
    summary="The gas source holds twice what the gas supplies take on the journey; no where the rig states no figures.",
    args=(ArgSpec(name="source", kinds=("gas-source",)), ArgSpec(name="frame", kinds=("frame",))),
    yes="{0} lasts for twice the journey of {1}",
    no="{0} does not last for twice the journey of {1}",
    observed=("gauge",),
    evaluate=evaluate,
)
