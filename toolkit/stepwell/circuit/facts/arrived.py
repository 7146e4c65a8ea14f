"""arrived: the frame stands at its new place."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "place") == "arrived")


FACT = FactEntry(
    name="arrived",
    summary="The frame stands at its new place.",
    args=(ArgSpec(name="part", kinds=("frame",)),),
    yes="{0} has arrived",
    no="{0} has not arrived",
    observed=("eye",),
    evaluate=evaluate,
)
