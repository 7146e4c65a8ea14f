"""spilled: liquid has just run out at this space."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    matching = [event.certainty for event in view.events if event.kind == "spilled" and event.part == args[0]]
    return disjunction(matching)


FACT = FactEntry(
    name="spilled",
    summary="Liquid has just run out at this space.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="liquid runs out at {0}",
    no="no liquid runs out at {0}",
    observed=("eye",),
    evaluate=evaluate,
    passing=True,
)
