"""The way through a sheet one stop at a time: where each stop leads."""

from __future__ import annotations

from dataclasses import dataclass, field

from stepwell.publish.sheet import (
    AnyOrderBlock,
    HoldBar,
    Items,
    LanesBlock,
    MeetLine,
    QuestionBlock,
    RepeatBlock,
    SheetItem,
    StageBlock,
    StepLine,
)

END = "the-end"
"""The stop of the completion call."""


@dataclass(slots=True, kw_only=True)
class Route:
    """``onward`` maps a stop's id to the next one's. ``answers`` maps (question id, index of the outcome) to a stop, or
    to an empty string where the procedure ends. ``again`` maps a repeat's id to its first stop. Lanes are walked one
    after the other."""

    onward: dict[str, str] = field(default_factory=dict)
    answers: dict[tuple[str, int], str] = field(default_factory=dict)
    again: dict[str, str] = field(default_factory=dict)
    stops: int = 1

    def answer(self, question: str, index: int) -> str:
        """Where an outcome leads."""
        return self.answers.get((question, index), "")


def route_of(items: Items) -> Route:
    """The route through a sheet's items, ending at :data:`END`."""
    route = Route()
    _body(items, END, route)
    return route


def _body(items: Items, after: str, route: Route) -> str:
    """Fill in the route of ``items``, which are followed by ``after``; return their first stop."""
    for item in reversed(items):
        after = _item(item, after, route)
    return after


def _item(item: SheetItem, after: str, route: Route) -> str:
    match item:
        case StepLine(id=name) | HoldBar(id=name) | MeetLine(id=name):
            return _stop(name, after, route)
        case StageBlock(items=inner) | AnyOrderBlock(items=inner):
            return _body(inner, after, route)
        case LanesBlock(lanes=lanes):
            for lane in reversed(lanes):
                after = _body(lane.items, after, route)
            return after
        case QuestionBlock(id=name, outcomes=outcomes):
            for index, outcome in enumerate(outcomes):
                ends = outcome.end and not outcome.items
                route.answers[name, index] = "" if ends else _body(outcome.items, after, route)
            return _stop(name, after, route)
        case RepeatBlock(id=name, items=inner):
            _stop(name, after, route)
            first = _body(inner, name, route)
            route.again[name] = first
            return first


def _stop(name: str, after: str, route: Route) -> str:
    route.onward[name] = after
    route.stops += 1
    return name
