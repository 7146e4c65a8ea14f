"""air-entered: air has just entered the circuit, or may have."""

from __future__ import annotations

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    matching = [event.certainty for event in view.events if event.kind == "air-entered"]
    return disjunction(matching)


FACT = FactEntry(
    name="air-entered",
    summary="Air has just entered the circuit, or may have.",
    args=(),
    yes="air enters the circuit",
    no="no air enters the circuit",
    observed=(),
    evaluate=evaluate,
    passing=True,
)
