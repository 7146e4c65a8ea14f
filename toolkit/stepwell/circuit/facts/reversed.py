"""reversed: flow has just turned backwards."""

from __future__ import annotations

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    matching = [event.certainty for event in view.events if event.kind == "reversed"]
    return disjunction(matching)


FACT = FactEntry(
    name="reversed",
    summary="Flow has just turned backwards.",
    args=(),
    yes="the flow turns backwards",
    no="the flow does not turn backwards",
    observed=("display",),
    evaluate=evaluate,
    passing=True,
)
