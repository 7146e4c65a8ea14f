"""zeroed: the sensor was zeroed as its kind asks."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "zero") == "zeroed")


FACT = FactEntry(
    name="zeroed",
    summary="The sensor was zeroed as its kind asks.",
    args=(ArgSpec(name="part", kinds=("pressure-sensor", "flow-sensor")),),
    yes="{0} is zeroed",
    no="{0} is not truly zeroed",
    observed=(),
    evaluate=evaluate,
)
