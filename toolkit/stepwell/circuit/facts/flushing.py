"""flushing: carbon dioxide flows from the flush."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "flush") == "flush-on")


FACT = FactEntry(
    name="flushing",
    summary="Carbon dioxide flows from the flush.",
    args=(ArgSpec(name="part", kinds=("co2-flush",)),),
    yes="{0} is on",
    no="{0} is off",
    observed=("eye",),
    evaluate=evaluate,
)
