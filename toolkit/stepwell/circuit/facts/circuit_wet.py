"""circuit-wet: some space of the main path holds liquid."""

from __future__ import annotations

from stepwell.circuit.contents import LIQUID, within
from stepwell.circuit.entry import FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    masks = [view.contents(space.name) for space in view.layout.spaces if space.main]
    return disjunction(within(mask, LIQUID) for mask in masks)


FACT = FactEntry(
    name="circuit-wet",
    summary="Some space of the main path holds liquid.",
    args=(),
    yes="the set holds liquid",
    no="the set is dry",
    observed=("eye",),
    evaluate=evaluate,
)
