"""*order*: one action only after another."""

from __future__ import annotations

from stepwell.model.predicate import Predicate
from stepwell.model.rule import Order
from stepwell.rules.moment import NEW, Memory, Moment, Watched, may_hold

_FIRST_DONE = 1


def watch(shape: Order, when: Predicate, moment: Moment, memory: Memory) -> Watched:
    """Fires where ``then`` is done and ``first`` was not done before or with it.

    The context is looked at before ``then``; ``first`` counts in any context.
    """
    memory = _FIRST_DONE if memory or moment.did(*shape.first) else NEW
    exercised = moment.did(*shape.then) and may_hold(when, moment.before)
    return Watched(violated=exercised and not memory, exercised=exercised, memory=memory)
