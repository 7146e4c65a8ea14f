"""*enough*: no more of a thing in use at once than there are."""

from __future__ import annotations

from stepwell.model.predicate import Predicate
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import evaluate
from stepwell.rules.ground import Counted
from stepwell.rules.moment import QUIET, Moment, Watched, may_hold


def watch(shape: Counted, when: Predicate, moment: Moment) -> Watched:
    """Fires where it may hold of more parts than the stock has."""
    if not may_hold(when, moment.after):
        return QUIET
    used = sum(evaluate(case, moment.after) is not Tri.NO for case in shape.cases)
    return Watched(violated=used > shape.most, exercised=True)
