"""clamped-both-sides: the flow sensor has a shut clamp before it and one behind it."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.circuit.zeroing import clamped_both_sides
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return clamped_both_sides(view, args[0])


FACT = FactEntry(
    name="clamped-both-sides",
    summary="The flow sensor has a shut clamp before it and one behind it.",
    args=(ArgSpec(name="part", kinds=("flow-sensor",)),),
    yes="the line is clamped before and behind {0}",
    no="the line is not clamped before and behind {0}",
    observed=("eye",),
    evaluate=evaluate,
)
