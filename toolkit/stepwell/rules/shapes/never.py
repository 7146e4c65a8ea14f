"""*never*: a state that must be ruled out after every action, while the context may hold."""

from __future__ import annotations

from stepwell.model.predicate import Predicate
from stepwell.model.rule import Never
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import evaluate
from stepwell.rules.moment import QUIET, Moment, Watched, may_hold


def watch(shape: Never, when: Predicate, moment: Moment) -> Watched:
    """Fires where the state after the action is not surely false."""
    if not may_hold(when, moment.after):
        return QUIET
    return Watched(violated=evaluate(shape.state, moment.after) is not Tri.NO, exercised=True)
