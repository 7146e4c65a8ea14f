"""silenced: the sound of the automatic response is off."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "sound") == "silenced")


FACT = FactEntry(
    name="silenced",
    summary="The sound of the automatic response is off.",
    args=(ArgSpec(name="part", kinds=("response",)),),
    yes="{0} is silenced",
    no="{0} can be heard",
    observed=("display",),
    evaluate=evaluate,
)
