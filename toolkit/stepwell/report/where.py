"""Where holds, questions and repeats stand in a body: what is found at them must not be told of the whole page."""

from __future__ import annotations

from stepwell.diagnostics.span import Span
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified
from stepwell.model.procedure import AnyOrder, Body, Choose, Hold, Lanes, Repeat, Stage


def places_of(body: Body) -> dict[str, Span | None]:
    """The place of each hold, question and repeat by its id."""
    found: dict[str, Span | None] = {}
    for item in body:
        match item:
            case Hold():
                found[item.id] = item.span
            case Choose():
                found[item.id] = item.span
                for outcome in item.outcomes:
                    found |= places_of(outcome.body)
            case Repeat():
                found[item.id] = item.span
                found |= places_of(item.body)
            case Stage() | AnyOrder():
                found |= places_of(item.body)
            case Lanes():
                for lane in item.lanes:
                    found |= places_of(lane.body)
            case _:
                pass
    return found


def span_of(predicate: Predicate) -> Span | None:
    """The place of the first fact that a condition names."""
    match predicate:
        case Fact():
            return predicate.span
        case Not(body=body) | Quantified(body=body):
            return span_of(body)
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            return next((span for body in bodies if (span := span_of(body)) is not None), None)
