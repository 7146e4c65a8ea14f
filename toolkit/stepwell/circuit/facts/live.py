"""live: the automatic response acts by itself and its alarm can be heard."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "response") == "live" and view.word(args[0], "sound") == "audible")


FACT = FactEntry(
    name="live",
    summary="The automatic response acts by itself, and its alarm can be heard.",
    args=(ArgSpec(name="part", kinds=("response",)),),
    yes="{0} is live",
    no="{0} is not live",
    observed=("display",),
    evaluate=evaluate,
)
