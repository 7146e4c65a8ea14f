"""water-flowing: water runs through the heat exchanger."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "water") == "flowing")


FACT = FactEntry(
    name="water-flowing",
    summary="Water runs through the heat exchanger.",
    args=(ArgSpec(name="part", kinds=("water-circuit",)),),
    yes="{0} is running",
    no="{0} is not running",
    observed=("eye",),
    evaluate=evaluate,
)
