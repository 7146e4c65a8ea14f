"""suspended: the automatic response is switched off for the moment."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "response") == "suspended")


FACT = FactEntry(
    name="suspended",
    summary="The automatic response is switched off for the moment.",
    args=(ArgSpec(name="part", kinds=("response",)),),
    yes="{0} is suspended",
    no="{0} is not suspended",
    observed=("display",),
    evaluate=evaluate,
)
