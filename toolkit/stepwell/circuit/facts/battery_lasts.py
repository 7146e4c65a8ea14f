"""battery-lasts: the battery lasts for twice the journey."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.equipment import battery_lasts
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    power, frame = (view.layout.rig.part(name) for name in args)
    return tri(power is not None and frame is not None and battery_lasts(power, frame))


FACT = FactEntry(
    name="battery-lasts",
    summary="The battery carries the console for twice the journey; no where the rig states no figures.",
    args=(ArgSpec(name="part", kinds=("power",)), ArgSpec(name="frame", kinds=("frame",))),
    yes="the battery of {0} lasts for twice the journey of {1}",
    no="the battery of {0} does not last for twice the journey of {1}",
    observed=("display",),
    evaluate=evaluate,
)
