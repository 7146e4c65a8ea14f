"""air-entered: air has just entered the circuit at this space."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    matching = [event.certainty for event in view.events if event.kind == "air-entered" and event.part == args[0]]
    return disjunction(matching)


FACT = FactEntry(
    name="air-entered",
    summary="Air has just entered the circuit at this space.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="air enters at {0}",
    no="no air enters at {0}",
    observed=(),
    evaluate=evaluate,
    passing=True,
)
