"""Deadlines: single moments, and every history of random bodies read a second time."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from decimal import Decimal
from typing import Any, NamedTuple

import pytest

from stepwell.model.bodies import each_leaf
from stepwell.model.predicate import ALWAYS, Fact, Predicate
from stepwell.model.procedure import Body, Condition, Hold, Item, Step, steps_of
from stepwell.model.quantity import Quantity
from stepwell.model.rule import Within
from stepwell.model.tri import Tri
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do
from stepwell.orders.search import Bounds, search
from stepwell.orders.world import Acted, Observed
from stepwell.rules.evaluate import Ask
from stepwell.rules.ground import GroundRule
from stepwell.rules.moment import NEW, Memory, Moment, Pause
from stepwell.rules.shapes.within import CARD_ENDS, LATE, Waiting
from stepwell.rules.watch import finish, watch
from tests.orders.bodies import Maker, actions_of, is_so
from tests.orders.reference import DONE, clean, heads, tags, term_of

from .bench import MAYBE, NO, YES, rule, state

LIMIT = 60


def seconds(number: float) -> Quantity:
    return Quantity(Decimal(str(number)), "s")


SHAPE = Within(of=is_so(0), comes=is_so(1), time=seconds(LIMIT))


def bound(when: Predicate = ALWAYS) -> GroundRule:
    return GroundRule(rule=rule(SHAPE, when=when), bindings=(), when=when, shape=SHAPE, verbs=None)


BEFORE, FLOWS, BOTH = state(), state(so_0=YES), state(so_0=YES, so_1=YES)


def act(before: Ask, after: Ask, step: str, most: float | None = 20, **more: Any) -> Moment:
    takes = None if most is None else (1.0, float(most))
    return Moment(done=(("do", ("part",)),), before=before, after=after, step=step, who="a", takes=takes, **more)


def test_in_time_and_too_late() -> None:
    begun = watch(bound(), act(BEFORE, FLOWS, "s1"), NEW)
    assert begun.memory == Waiting(20.0, frozenset())
    assert begun.exercised
    done = watch(bound(), act(FLOWS, BOTH, "s2", 40), begun.memory)
    assert (done.violated, done.undecided, done.memory) == (False, "", NEW)
    late = watch(bound(), act(FLOWS, BOTH, "s2", 40.5), begun.memory)
    assert late.violated


def test_the_time_may_be_up_before_it_comes() -> None:
    begun = watch(bound(), act(BEFORE, FLOWS, "s1"), NEW)
    up = watch(bound(), act(FLOWS, FLOWS, "s2", 41), begun.memory)
    assert (up.violated, up.memory) == (True, LATE)
    again = watch(bound(), act(FLOWS, FLOWS, "s3", 41), up.memory)
    assert (again.violated, again.memory) == (False, LATE), "told once"
    assert watch(bound(), act(FLOWS, BOTH, "s4"), LATE).memory == NEW


def test_what_may_come_has_not_surely_come() -> None:
    begun = watch(bound(), act(BEFORE, state(so_0=MAYBE), "s1"), NEW)
    assert isinstance(begun.memory, Waiting)
    maybe = watch(bound(), act(FLOWS, state(so_0=YES, so_1=MAYBE), "s2"), begun.memory)
    assert isinstance(maybe.memory, Waiting)


def test_a_step_without_a_time_decides_nothing() -> None:
    begun = watch(bound(), act(BEFORE, FLOWS, "s1"), NEW)
    seen = watch(bound(), act(FLOWS, BOTH, "s2", None), begun.memory)
    assert not seen.violated
    assert "s2 states no time" in seen.undecided
    spoken = watch(bound(), act(FLOWS, BOTH, "s2", None, seconds=30), begun.memory)
    assert (spoken.violated, spoken.undecided) == (False, "")


def test_a_step_of_several_actions_counts_once() -> None:
    begun = watch(bound(), act(BEFORE, FLOWS, "s1", last=False), NEW)
    second = watch(bound(), act(FLOWS, FLOWS, "s1", first=False), begun.memory)
    assert second.memory == Waiting(20.0, frozenset())
    other = watch(bound(), act(FLOWS, FLOWS, "s2", first=False, last=False), begun.memory)
    assert isinstance(other.memory, Waiting)
    assert other.memory.seconds == 40.0, "a step that began before the clock may still take all its time"


def test_pauses_count_once_and_those_before_it_do_not() -> None:
    early, later = Pause("look", 1, 15), Pause("see", 1, 30)
    begun = watch(bound(), act(BEFORE, FLOWS, "s1", pauses=(early,)), NEW)
    second = watch(bound(), act(FLOWS, FLOWS, "s2", 5, pauses=(early, later)), begun.memory)
    assert isinstance(second.memory, Waiting)
    assert second.memory.seconds == 55.0
    third = watch(bound(), act(FLOWS, BOTH, "s3", 5, pauses=(early, later)), second.memory)
    assert not third.violated
    held = watch(bound(), act(FLOWS, BOTH, "s3", 5, pauses=(Pause("h1aa (4)", 0, None),)), begun.memory)
    assert held.undecided.startswith("h1aa states no time")


def test_it_lapses_with_its_context() -> None:
    made = bound(when=is_so(0))
    begun = watch(made, act(BEFORE, FLOWS, "s1"), NEW)
    stopped = watch(made, act(FLOWS, BEFORE, "s2"), begun.memory)
    assert (stopped.violated, stopped.memory) == (False, NEW)


def test_a_card_that_ends_in_time_without_it_decides_nothing() -> None:
    waiting = Waiting(20.0, frozenset())
    assert finish(bound(), FLOWS, waiting).undecided == CARD_ENDS
    assert finish(bound(), BOTH, waiting).undecided == ""
    assert finish(bound(), FLOWS, NEW).undecided == ""


def test_what_is_so_from_the_start_does_not_begin() -> None:
    assert not watch(bound(), act(FLOWS, FLOWS, "s1"), NEW).exercised


class Bits(NamedTuple):
    """The facts that are so, and what the rule remembers."""

    mask: int
    memory: Memory


def after(mask: int, verb: str) -> int:
    """Verb 0 brings ``of``, 1 brings ``comes``, 2 takes both away, 3 does nothing."""
    return {"0": mask | 1, "1": mask | 2, "2": 0, "3": mask}[verb]


def asked(mask: int) -> Ask:
    def ask(name: str, args: tuple[str, ...]) -> Tri:
        return YES if mask >> int(args[0]) & 1 else NO

    return ask


class Timed:
    """A world of bits with the one rule."""

    def __init__(self) -> None:
        self.undecided = False

    def starts(self) -> tuple[Bits, ...]:
        return (Bits(0, NEW),)

    def act(self, here: Bits, node: Do) -> Acted[Bits]:
        mask = here.mask
        for action in node.actions:
            mask = after(mask, action.verb)
        moment = Moment(
            done=(("do", ("part",)),),
            before=asked(here.mask),
            after=asked(mask),
            who=node.who,
            step=node.step,
            takes=None if node.takes is None else (float(node.takes[0].value), float(node.takes[1].value)),
            first=node.index == 0,
            last=node.index == node.size - 1,
            pauses=tuple(
                Pause(one.name, 0.0, None if one.takes is None else float(one.takes[1].value)) for one in node.pauses
            ),
        )
        seen = watch(bound(), moment, here.memory)
        self.undecided = self.undecided or bool(seen.undecided)
        return Acted(Bits(mask, seen.memory), None, frozenset({"late"} if seen.violated else ()))

    def observe(self, here: Bits, predicate: Predicate) -> Observed[Bits]:
        assert isinstance(predicate, Fact)
        return Observed(asked(here.mask)("so", (predicate.args[0].name,)), here)

    def finish(self, here: Bits) -> frozenset[str]:
        self.undecided = self.undecided or bool(finish(bound(), asked(here.mask), here.memory).undecided)
        return frozenset()


Event = tuple[str, str, int]
"""What it is (do, pause), the step or other name, and the facts after it."""


def histories(term: Any, mask: int, past: tuple[Event, ...]) -> Iterator[tuple[Event, ...]]:
    """Every history of a body, as far as it comes; whole ones and those that stop at a look."""
    taken = list(heads(term, frozenset(tags(term))))
    if term == DONE or any(atom[0] == "end" for atom, _ in taken):
        yield past
        return
    moved = False
    for atom, around in taken:
        for new, mask_then, events in ways(atom, mask):
            moved = True
            yield from histories(around(new), mask_then, past + events)
    if not moved:
        yield past


def ways(atom: Any, mask: int) -> Iterator[tuple[Any, int, tuple[Event, ...]]]:
    def so(conditions: Any) -> bool:
        found = (one.predicate for one in conditions if isinstance(one, Condition))
        return all(mask >> int(one.args[0].name) & 1 for one in found)

    match atom[0]:
        case "do":
            then = mask
            for action in atom[3]:
                then = after(then, action.verb)
            yield DONE, then, (("do", atom[1][0], then),)
        case "look" if so(atom[2].expect):
            yield DONE, mask, (("look", atom[2].id, mask),)
        case "bar" if so(atom[1].until):
            yield DONE, mask, (("other", atom[1].id, mask),)
        case "optional":
            yield atom[2], mask, ()
            yield DONE, mask, ()
        case "ask":
            for guard, inner in atom[2]:
                if guard is None or mask >> int(guard.args[0].name) & 1:
                    yield inner, mask, (("other", atom[1], mask),)
        case "loop":
            if mask >> int(atom[1].until.args[0].name) & 1:
                yield DONE, mask, (("other", atom[1].id, mask),)
            elif not atom[2]:
                yield atom[3], mask, (("other", atom[1].id, mask),)


def read_again(history: tuple[Event, ...], steps: dict[str, Step], *, looks: bool) -> tuple[bool, bool]:
    """(too late somewhere, no time stated somewhere) in one history. ``looks``: what is only looked at counts too."""
    late = unknown = False
    began: int | None = None
    was = 0
    for number, (sort, _, mask) in enumerate(history):
        if sort != "do":
            continue
        if began is None and mask & 1 and not was & 1 and not mask & 2:
            began = number
        if began is not None:
            window = [history[began], *history[began + 1 : number + 1]]
            counted: set[tuple[str, int]] = set()
            total = 0.0
            rounds: dict[str, int] = {}
            for what, name, _ in window:
                if what == "look" and (steps[name].do or not looks):
                    continue
                if what == "other":
                    continue
                if what == "do":
                    # A step's actions may stand in the window in several rounds; each round has all of them once.
                    rounds[name] = rounds.get(name, 0) + 1
                    size = 1 if steps[name].at_once else len(steps[name].do)
                    key = (name, (rounds[name] - 1) // size)
                    if key in counted:
                        continue
                    counted.add(key)
                takes = steps[name].takes
                unknown = unknown or takes is None
                total += float(takes[1].value) if takes else 0.0
            late = late or total > LIMIT
            if mask & 2:
                began = None
        was = mask
    return late, unknown


def random_body(rng: random.Random) -> Body:
    body = Maker(rng.randrange, 6).body(2)

    def timed(leaf: Step | Hold) -> Item:
        if isinstance(leaf, Hold):
            return leaf
        most = rng.choice((5, 15, 25, 35, 50)) if rng.random() < 0.93 else None
        return _with(leaf, most)

    return each_leaf(body, timed)


def _with(step: Step, most: int | None) -> Step:
    from dataclasses import replace

    return replace(step, takes=None if most is None else (seconds(1), seconds(most)))


def judged(body: Body) -> tuple[bool, bool]:
    world = Timed()
    found = search(compile_body(body), world, bounds=Bounds(states=50_000, seconds=30), clock=time.monotonic)
    assert found.complete
    return found.violation("late") is not None, world.undecided


BODIES = [
    (seed, body) for seed in range(400) if actions_of(body := random_body(random.Random(seed))) <= 6 and steps_of(body)
]


@pytest.mark.parametrize(("seed", "body"), BODIES, ids=[str(seed) for seed, _ in BODIES])
def test_every_history_read_again_agrees(seed: int, body: Body) -> None:
    """What the actions alone make late is found; what is found, some history makes late with all looks counted."""
    steps = {step.id: step for step in steps_of(body)}
    late, undecided = judged(body)
    told = list(histories(clean(term_of(body)), 0, ()))
    surely = [read_again(history, steps, looks=False) for history in told]
    at_most = [read_again(history, steps, looks=True) for history in told]
    if any(one for one, _ in surely):
        assert late
    if late:
        assert any(one for one, _ in at_most)
    if any(unknown for _, unknown in surely):
        assert late or undecided


def test_the_random_bodies_are_late_in_time_and_undecided() -> None:
    seen = {judged(body) for _, body in BODIES[:120]}
    assert seen >= {(True, False), (False, False), (False, True)}
