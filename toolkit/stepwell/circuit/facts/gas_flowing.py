"""gas-flowing: sweep gas flows."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "gas") == "gas-on")


FACT = FactEntry(
    name="gas-flowing",
    summary="Sweep gas flows.",
    args=(ArgSpec(name="part", kinds=("gas-supply",)),),
    yes="{0} is on",
    no="{0} is off",
    observed=("gauge",),
    evaluate=evaluate,
)
