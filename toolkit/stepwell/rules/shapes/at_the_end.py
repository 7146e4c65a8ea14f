"""*at the end*: what must be so where the card ends, and at the derived hand-over."""

from __future__ import annotations

from stepwell.model.predicate import Predicate
from stepwell.model.rule import AtTheEnd
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask, evaluate
from stepwell.rules.moment import QUIET, Moment, Watched, may_hold


def watch(shape: AtTheEnd, when: Predicate, moment: Moment) -> Watched:
    """Looks only where the action hands over."""
    return finish(shape, when, moment.after) if moment.handed_over and shape.hand_over else QUIET


def finish(shape: AtTheEnd, when: Predicate, ask: Ask) -> Watched:
    """Fires where the good state is not surely so."""
    if not may_hold(when, ask):
        return QUIET
    return Watched(violated=evaluate(shape.require, ask) is not Tri.YES, exercised=True)
