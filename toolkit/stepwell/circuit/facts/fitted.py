"""fitted: the sensor is on its line."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "fit") == "fitted")


FACT = FactEntry(
    name="fitted",
    summary="The sensor is on its line.",
    args=(ArgSpec(name="part", kinds=("flow-sensor", "bubble-sensor")),),
    yes="{0} is on its line",
    no="{0} is not on its line",
    observed=("eye",),
    evaluate=evaluate,
)
