"""on-mains: the console is plugged in."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "supply") == "on-mains")


FACT = FactEntry(
    name="on-mains",
    summary="The console is plugged in.",
    args=(ArgSpec(name="part", kinds=("power",)),),
    yes="{0} is plugged in",
    no="{0} is not plugged in",
    observed=("eye",),
    evaluate=evaluate,
)
