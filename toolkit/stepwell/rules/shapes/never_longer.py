"""*never for longer than*: a state that is right for a moment and wrong if it is left so."""

from __future__ import annotations

from typing import NamedTuple

from stepwell.model.predicate import Predicate
from stepwell.model.rule import NeverLonger
from stepwell.model.tri import Tri
from stepwell.quantities.units import to
from stepwell.rules.evaluate import evaluate
from stepwell.rules.moment import QUIET, Memory, Moment, Watched, may_hold


class Lasting(NamedTuple):
    """What is remembered while the state lasts: who brought it about and in which step (nobody: it was so at the start),
    and how many seconds are known to have been spent in it."""

    cause: str
    step: str
    seconds: float

    def is_left(self, moment: Moment) -> bool:
        """True if its cause does something else. What stands in one step is one thing to do, and a mere wait does
        nothing but take its time."""
        return moment.who == self.cause and moment.step != self.step and any(parts for _, parts in moment.done)


_TOLD = Lasting("", "", 0.0)
"""Beyond the limit nothing more is to be learned: one memory for all that follows keeps the search small."""


def watch(shape: NeverLonger, when: Predicate, moment: Moment, memory: Memory) -> Watched:
    """Fires where too much stated time is spent in the state, or its cause acts in another step and does not clear it.

    Only times that an action states (``for``) are added up: for them a permitted order has been found in which the state
    lasts so long. Steps without a time are taken as quick. A state that is there at the start has no cause.
    """
    if not may_hold(when, moment.after):
        return QUIET
    if evaluate(shape.state, moment.after) is Tri.NO:
        return Watched(violated=False, exercised=True)
    if moment.refused:
        return Watched(violated=False, exercised=True, memory=memory)
    if isinstance(memory, Lasting):
        left = memory.is_left(moment)
        lasting = memory._replace(seconds=memory.seconds + moment.seconds)
    else:
        left = False
        new = evaluate(shape.state, moment.before) is Tri.NO or not may_hold(when, moment.before)
        lasting = Lasting(moment.who, moment.step, moment.seconds) if new else Lasting("", "", moment.seconds)
    violated = left or lasting.seconds > to(shape.than, "s")
    return Watched(violated=violated, exercised=True, memory=_TOLD if violated else lasting)
