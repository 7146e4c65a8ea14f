"""*match*: two parts that are set up or joined wrongly, whatever is done with them."""

from __future__ import annotations

from stepwell.model.predicate import Predicate
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask, evaluate
from stepwell.rules.ground import Matched
from stepwell.rules.moment import QUIET, Moment, Watched, may_hold


def watch(shape: Matched, when: Predicate, moment: Moment) -> Watched:
    """Fires after any action in which the two may not go together."""
    return _look(shape, when, moment.after)


def finish(shape: Matched, when: Predicate, ask: Ask) -> Watched:
    """A set that is wrong from the start is wrong even if nobody touches it."""
    return _look(shape, when, ask)


def _look(shape: Matched, when: Predicate, ask: Ask) -> Watched:
    if not may_hold(when, ask):
        return QUIET
    return Watched(violated=evaluate(shape.wrong, ask) is not Tri.NO, exercised=True)
