"""hammered: moving liquid has just been stopped short at speed, with liquid in an oxygenator."""

from __future__ import annotations

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return disjunction(event.certainty for event in view.events if event.kind == "hammered")


FACT = FactEntry(
    name="hammered",
    summary="Moving liquid has just been stopped short at speed, with liquid in an oxygenator.",
    args=(),
    yes="the flow is stopped short at speed",
    no="the flow is not stopped short",
    observed=(),
    evaluate=evaluate,
    passing=True,
)
