"""ready: the back-up was seen to be there and whole."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "kit") == "ready")


FACT = FactEntry(
    name="ready",
    summary="The back-up was seen to be there and whole.",
    args=(ArgSpec(name="part", kinds=("backup",)),),
    yes="{0} is ready",
    no="{0} is not ready",
    observed=("eye",),
    evaluate=evaluate,
)
