"""moving: the frame is on its way."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "place") == "moving")


FACT = FactEntry(
    name="moving",
    summary="The frame is on its way.",
    args=(ArgSpec(name="part", kinds=("frame",)),),
    yes="{0} is moving",
    no="{0} is not moving",
    observed=("eye",),
    evaluate=evaluate,
)
