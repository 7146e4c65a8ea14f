"""mains-proven: the console is plugged in and the sign that it charges has been seen."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "supply") == "on-mains" and view.word(args[0], "mains") == "mains-proven")


FACT = FactEntry(
    name="mains-proven",
    summary="The console is plugged in and the sign that it charges has been seen.",
    args=(ArgSpec(name="part", kinds=("power",)),),
    yes="{0} has been seen to charge",
    no="{0} has not been seen to charge",
    observed=("display",),
    evaluate=evaluate,
)
