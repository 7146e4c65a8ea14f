"""hung: the bag hangs on its hook."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "hung") == "hung")


FACT = FactEntry(
    name="hung",
    summary="The bag hangs on its hook.",
    args=(ArgSpec(name="part", kinds=("bag",)),),
    yes="{0} hangs on its hook",
    no="{0} does not hang",
    observed=("eye",),
    evaluate=evaluate,
)
