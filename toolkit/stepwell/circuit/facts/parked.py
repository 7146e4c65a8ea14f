"""parked: the frame stands at its place and has not set off."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "place") == "parked")


FACT = FactEntry(
    name="parked",
    summary="The frame stands at its place and has not set off.",
    args=(ArgSpec(name="part", kinds=("frame",)),),
    yes="{0} is parked",
    no="{0} has set off",
    observed=("eye",),
    evaluate=evaluate,
)
