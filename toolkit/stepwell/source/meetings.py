"""Meetings of lanes: somebody must come to each of them, once, and from where the others can wait for it."""

from __future__ import annotations

from stepwell.diagnostics.finding import Related
from stepwell.model.procedure import AnyOrder, Body, Choose, Lanes, Meet, Repeat, Stage
from stepwell.source import faults
from stepwell.source.near import did_you_mean, quote
from stepwell.source.scope import Scope

Met = dict[str, Meet]


def note_meetings(body: Body, scope: Scope) -> bool:
    """Note what is wrong with the meetings of a body; True if it has any, and nothing is wrong with them."""
    before = len(scope.notes.findings)
    return _walk(body, None, scope) and len(scope.notes.findings) == before


def _walk(body: Body, lane: Met | None, scope: Scope) -> bool:
    """``lane`` collects the meetings of the lane around; None where no meeting can stand."""
    found = False
    for item in body:
        match item:
            case Meet():
                found = True
                _take(item, lane, scope)
            case Stage(body=inner):
                found |= _walk(inner, lane, scope)
            case AnyOrder(body=inner) | Repeat(body=inner):
                found |= _walk(inner, None, scope)
            case Choose(outcomes=outcomes):
                for outcome in outcomes:
                    found |= _walk(outcome.body, None, scope)
            case Lanes():
                found |= _lanes(item, scope)
            case _:
                pass
    return found


def _take(meet: Meet, lane: Met | None, scope: Scope) -> None:
    if lane is None:
        scope.notes.add(
            faults.MEETING_ALONE,
            meet.span,
            f"The meeting {quote(meet.name)} stands where nobody else can come to it.",
            "Put it into a lane: directly or in a stage, not in any-order, choose or repeat.",
        )
        return
    first = lane.setdefault(meet.name, meet)
    if first is not meet:
        related = (Related(message="the first one", span=first.span),) if first.span is not None else ()
        scope.notes.add(
            faults.DUPLICATE_NAME,
            meet.span,
            f"This lane comes to the meeting {quote(meet.name)} twice.",
            "Give the second one a name of its own, in every lane that comes to it.",
            related=related,
        )


def _lanes(lanes: Lanes, scope: Scope) -> bool:
    met: list[Met] = [{} for _ in lanes.lanes]
    found = False
    for lane, here in zip(lanes.lanes, met, strict=True):
        found |= _walk(lane.body, here, scope)
    for number, here in enumerate(met):
        others = [name for other, names in enumerate(met) if other != number for name in names]
        for name, meet in here.items():
            if name and name not in others:
                free = [other for other in dict.fromkeys(others) if other not in here]
                scope.notes.add(
                    faults.MEETING_ALONE,
                    meet.span,
                    f"No other lane comes to the meeting {quote(name)}, so nobody is waited for there.",
                    did_you_mean(name, free, what="Other lanes come to")
                    or f"Put `- meet: {name}` into every lane that is to wait, or delete it here.",
                )
    return found
