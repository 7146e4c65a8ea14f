"""*before doing*: what must be so just before somebody does something."""

from __future__ import annotations

from stepwell.model.predicate import Predicate
from stepwell.model.rule import BeforeDoing
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import evaluate
from stepwell.rules.moment import QUIET, Moment, Watched, may_hold


def watch(shape: BeforeDoing, when: Predicate, moment: Moment) -> Watched:
    """Fires where it is done and what it requires was not surely so; the action's own effects do not count."""
    if not moment.did(shape.verb, shape.part) or not may_hold(when, moment.before):
        return QUIET
    return Watched(violated=evaluate(shape.require, moment.before) is not Tri.YES, exercised=True)
