"""*within*: a deadline, judged by the longest times that the steps state.

How the time is counted
-----------------------
From the action with which ``of`` may have become so to the one after which ``comes`` surely is, the longest stated time
of everything done is added up: of a step its ``takes``, once, however many actions it has; without ``takes`` what its
actions state for themselves (``for``); of what is only looked at, held for or asked on the way what that states. The step
in which ``of`` becomes so counts whole.

The sum is a bound from above for people who start as soon as they can: what is done in the meantime is then a chain of
actions each of which begins where another ends. It is also what happens if they work one after another, as the order says.
Where several people work side by side it may be more than they would need, so a finding says that it *may* come late;
what they need at least is told beside it. A step that states no time makes the rule undecided there, never held; so does
a card that ends while the time still runs, for what comes after it is not known.
"""

from __future__ import annotations

from typing import NamedTuple

from stepwell.model.predicate import Predicate
from stepwell.model.rule import Within
from stepwell.model.tri import Tri
from stepwell.quantities.units import to
from stepwell.rules.evaluate import Ask, evaluate
from stepwell.rules.moment import NEW, QUIET, Memory, Moment, Watched, may_hold
from stepwell.rules.shapes.becomes import before_it_happened

_DECIMALS = 3


class Waiting(NamedTuple):
    """What is remembered while the clock runs: the seconds so far, and what must not be counted again."""

    seconds: float
    counted: frozenset[str]


class Spent(NamedTuple):
    """The time of one action: at least, at most (seconds), what is counted from now on, and what states no time."""

    least: float
    most: float
    counted: frozenset[str]
    unstated: str


LATE: Memory = "late"
CARD_ENDS = "the card may end while the time still runs"


def watch(shape: Within, when: Predicate, moment: Moment, memory: Memory) -> Watched:
    """Fires where the time is up, be it at the action that brings what must come or before it."""
    if moment.refused:
        return Watched(violated=False, exercised=False, memory=memory)
    waits = isinstance(memory, Waiting) or memory == LATE
    if waits and (not may_hold(when, moment.before) or evaluate(shape.comes, moment.before) is Tri.YES):
        # It came, or the context ended, by what was seen since the last action.
        waits, memory = False, NEW
    if isinstance(memory, Waiting):
        return _goes_on(shape, when, moment, memory)
    if waits:
        over = evaluate(shape.comes, moment.after) is Tri.YES or not may_hold(when, moment.after)
        return Watched(violated=False, exercised=True, memory=NEW if over else LATE)
    begins = (
        may_hold(when, moment.after)
        and evaluate(shape.of, moment.after) is not Tri.NO
        and evaluate(shape.of, before_it_happened(moment.before)) is Tri.NO
    )
    if not begins:
        return QUIET
    if evaluate(shape.comes, moment.after) is Tri.YES:
        return Watched(violated=False, exercised=True)
    return _judged(shape, 0.0, spent(moment, None))


def finish(shape: Within, when: Predicate, ask: Ask, memory: Memory) -> Watched:
    """Undecided where the card ends before it has come and before the time is up."""
    if not isinstance(memory, Waiting) or not may_hold(when, ask) or evaluate(shape.comes, ask) is Tri.YES:
        return QUIET
    return Watched(violated=False, exercised=True, undecided=CARD_ENDS)


def spent(moment: Moment, counted: frozenset[str] | None) -> Spent:
    """The time of an action; ``counted`` None: it is the one with which the clock starts, so what came before is not
    counted."""
    least = most = 0.0
    unstated = ""
    for pause in moment.pauses:
        if counted is not None and pause.name not in counted:
            most += pause.most or 0.0
            least += pause.least
            unstated = unstated or ("" if pause.most is not None else pause.name)
    known = (counted or frozenset()) | {pause.name for pause in moment.pauses}
    if moment.takes is None:
        seconds = moment.seconds
        # What is done in no stated time is not done in no time.
        return Spent(least + seconds, most + seconds, known, unstated or ("" if seconds else moment.step))
    if moment.first or moment.step not in known:
        least += moment.seconds if counted is None else moment.takes[0]
        most += max(moment.takes[1], moment.seconds)
    known = known - {moment.step} if moment.last else known | {moment.step}
    return Spent(least, most, known, unstated)


def _goes_on(shape: Within, when: Predicate, moment: Moment, memory: Waiting) -> Watched:
    time = spent(moment, memory.counted)
    if may_hold(when, moment.after) and evaluate(shape.comes, moment.after) is not Tri.YES:
        return _judged(shape, memory.seconds, time)
    return _judged(shape, memory.seconds, time)._replace(memory=NEW)


def _no_time(name: str) -> str:
    return f"{name.partition(' ')[0]} states no time (`takes`), so how long it may last is not known"


def _judged(shape: Within, before: float, time: Spent) -> Watched:
    seconds = round(before + time.most, _DECIMALS)
    late = seconds > to(shape.time, "s")
    return Watched(
        violated=late,
        exercised=True,
        memory=LATE if late else Waiting(seconds, time.counted),
        undecided=time.unstated and _no_time(time.unstated),
    )
