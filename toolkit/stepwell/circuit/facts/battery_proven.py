"""battery-proven: the console has run on its battery for long enough to prove it."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "battery") == "battery-proven")


FACT = FactEntry(
    name="battery-proven",
    summary="The console has run on its battery for long enough to prove it.",
    args=(ArgSpec(name="part", kinds=("power",)),),
    yes="{0} has been proven on its battery",
    no="{0} has not been proven on its battery",
    observed=("display",),
    evaluate=evaluate,
)
