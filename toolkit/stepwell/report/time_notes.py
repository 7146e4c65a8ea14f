"""What a finding of a rule about time says besides trap and spring: whose time it was, and how much."""

from __future__ import annotations

from stepwell.model.rule import NeverLonger, Within
from stepwell.model.tri import Tri
from stepwell.quantities.simple_temporal import Between, minimal
from stepwell.report.runs import Told
from stepwell.report.world import CircuitWorld, stated_seconds
from stepwell.rules.evaluate import evaluate
from stepwell.rules.ground import GroundRule
from stepwell.rules.shapes.never_longer import Lasting
from stepwell.rules.shapes.within import Spent, Waiting, spent


def time_notes(world: CircuitWorld, instance: GroundRule, told: Told) -> tuple[str, ...]:
    """Sentences on the time in the last action of a run; none for rules that count no time."""
    match instance.shape:
        case NeverLonger(than=than) if told.nodes:
            return (_lasting(world, instance, told, str(than)),)
        case Within(time=time) if told.nodes:
            times = _times(world, instance, told)
            came = evaluate(instance.shape.comes, told.asks[-1]) is Tri.YES
            least, most = bounds(times, came=came)
            quickest = f", at the quickest {least:g} s" if least < most else ""
            return (f"By the stated times up to {most:g} s pass{quickest}; the limit is {time}.",)
        case _:
            return ()


def _lasting(world: CircuitWorld, instance: GroundRule, told: Told, than: str) -> str:
    before = told.around[-1][0].memory[world.rules.index(instance)]
    last = told.nodes[-1]
    seconds = max(map(stated_seconds, last.actions), default=0.0)
    if isinstance(before, Lasting):
        if before.is_left(world.moment(told.around[-1][0], last)):
            return "Whoever brought it about goes on to another step before it is cleared."
        seconds += before.seconds
    return f"The times that are stated for it add up to {seconds:g} s; the limit is {than}."


def _times(world: CircuitWorld, instance: GroundRule, told: Told) -> list[tuple[str, Spent]]:
    """(who, time) of each action since the clock started, which is the first action after which the rule waits."""
    number = world.rules.index(instance)
    began = len(told.nodes) - 1
    while began and isinstance(told.around[began][0].memory[number], Waiting):
        began -= 1
    found: list[tuple[str, Spent]] = []
    for node, (before, _) in zip(told.nodes[began:], told.around[began:], strict=True):
        memory = before.memory[number]
        counted = memory.counted if isinstance(memory, Waiting) else None
        found.append((node.who, spent(world.moment(before, node), counted)))
    return found


def bounds(times: list[tuple[str, Spent]], *, came: bool = True) -> tuple[float, float]:
    """(least, most) seconds that a run of these actions takes, each person's own one after another.

    The least is what people need who work side by side, the most what they need one after another in this order. Both are
    read off the minimal simple temporal network of the run: a start and an end of each action, ends in the run's order,
    and each person's start behind that person's last end. Where it ``came`` with the last action, it may have come as soon
    as that action began.
    """
    known: list[Between] = []
    ends: dict[str, str] = {}
    previous = "begin"
    for number, (who, time) in enumerate(times):
        start, end = f"start {number}", f"end {number}"
        shortest = 0.0 if came and number == len(times) - 1 and number else time.least
        known += [Between("begin", start, least=0.0), Between(start, end, least=shortest), Between(previous, end, least=0.0)]
        if who in ends:
            known.append(Between(ends[who], start, least=0.0))
        ends[who] = previous = end
    side_by_side = minimal(known)
    assert side_by_side is not None, "with no upper bounds there is always time enough"
    return side_by_side.between("begin", previous)[0], sum(time.most for _, time in times)
