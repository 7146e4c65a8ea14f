"""*becomes*: something that follows from an action, whichever action brings it about."""

from __future__ import annotations

from stepwell.circuit.catalogue import fact
from stepwell.model.predicate import AnyOf, Predicate
from stepwell.model.rule import Becomes
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask, evaluate
from stepwell.rules.moment import QUIET, Moment, Watched, may_hold

NEVER_PERMITTED = AnyOf(())
"""The ``unless`` of a rule that states none."""


def watch(shape: Becomes, when: Predicate, moment: Moment) -> Watched:
    """Fires where the event was surely false before, may be true after, and was not surely permitted before.

    The context is looked at after the action, together with the event. A rule that permits its event has something to
    look at where the event happens; one that never does, wherever its context may hold.
    """
    if not may_hold(when, moment.after):
        return QUIET
    happens = (
        evaluate(shape.event, moment.after) is not Tri.NO
        and evaluate(shape.event, before_it_happened(moment.before)) is Tri.NO
    )
    if not happens:
        return Watched(violated=False, exercised=shape.unless == NEVER_PERMITTED)
    return Watched(violated=evaluate(shape.unless, moment.before) is not Tri.YES, exercised=True)


def before_it_happened(ask: Ask) -> Ask:
    """Passing facts belong to the transition that led to a state, so before the next one none of them is so."""

    def answer(name: str, args: tuple[str, ...]) -> Tri:
        entry = fact(name)
        return Tri.NO if entry is not None and entry.passing else ask(name, args)

    return answer
