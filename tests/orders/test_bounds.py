"""What a search says when it was cut short."""

from __future__ import annotations

import time
from collections.abc import Callable
from random import Random

import pytest

from stepwell.model.tri import Tri
from stepwell.orders.compile import compile_body
from stepwell.orders.glimpse import glimpse
from stepwell.orders.program import Do, Program
from stepwell.orders.search import Bounds, Follow, held, search
from stepwell.orders.searched import Searched
from stepwell.orders.world import Acted

from .bodies import Maker, hold, is_so, lanes, step
from .toy import StillWorld, Toy, ToyWorld


class Counting(StillWorld[tuple[int, ...]]):
    """Counts the actions of each lane apart; ``late`` is broken by the seventh action."""

    def __init__(self) -> None:
        super().__init__((0,) * 8)

    def act(self, state: tuple[int, ...], node: Do) -> Acted[tuple[int, ...]]:
        lane = int(node.step[0])
        after = (*state[:lane], state[lane] + 1, *state[lane + 1 :])
        return Acted(after, None, frozenset({"late"} if sum(after) == 7 else ()))


def wide(width: int, length: int) -> Program:
    return compile_body((lanes(*(tuple(step(f"{lane}.{n}") for n in range(length)) for lane in range(width))),))


def ticking(each: float) -> Callable[[], float]:
    now = [0.0]

    def clock() -> float:
        now[0] += each
        return now[0]

    return clock


def test_an_exploding_program_stops_at_its_states() -> None:
    found = search(wide(8, 20), Counting(), bounds=Bounds(states=20_000), clock=time.monotonic)
    assert not found.complete
    assert found.states == 20_000
    assert not found.finishes
    assert found.bound is not None
    assert (found.bound.states, found.bound.reason) == (20_000, "20000 states")
    # C(k + 8, 8) states have at most k actions done: 12870 for 8, 24310 for 9. So level 8 was being expanded.
    assert found.bound.length == 7
    violation = found.violation("late")
    assert violation is not None
    assert (violation.run.length, violation.shortest) == (7, True)
    assert found.stuck is None, "nothing is known to be stuck where the search was cut short"


def test_time_runs_out() -> None:
    found = search(wide(4, 20), Counting(), bounds=Bounds(seconds=30), clock=ticking(1.0))
    assert not found.complete
    assert found.bound is not None
    assert found.bound.reason == "30 s"


def test_never_complete_when_a_bound_was_hit() -> None:
    """For every bound: complete exactly if the bound is at least the number of states, and never a wrong claim."""
    for seed in range(60):
        random = Random(seed)
        program = compile_body(Maker(random.randrange, 5).body(3))
        world = ToyWorld(random)
        whole = search(program, world, bounds=Bounds(), clock=time.monotonic)
        assert whole.complete
        for states in {0, 1, 2, whole.states // 2, whole.states - 1, whole.states, whole.states + 1}:
            part = search(program, world, bounds=Bounds(states=states), clock=time.monotonic)
            assert part.complete == (states >= whole.states)
            assert (part.bound is None) == part.complete
            assert part.states <= max(states, 0)
            honest(whole, part)


def honest(whole: Searched[Toy], part: Searched[Toy]) -> None:
    for violation in part.violated:
        shortest = whole.violation(violation.rule)
        assert shortest is not None
        assert violation.run.length >= shortest.run.length
        assert not violation.shortest or violation.run.length == shortest.run.length
    if part.bound is not None:
        known = {violation.rule for violation in part.violated}
        assert all(v.rule in known for v in whole.violated if v.run.length <= part.bound.length)
    for mine, all_of_them in ((part.stuck, whole.stuck), (part.must_abort, whole.must_abort)):
        assert mine is None or (all_of_them is not None and mine.states <= whole.states)
    if part.stuck is not None:
        assert whole.stuck is not None or whole.must_abort is not None


def test_wanted_stops_early_with_the_shortest() -> None:
    program = wide(3, 5)
    found = search(program, Counting(), wanted=frozenset({"late"}), bounds=Bounds(), clock=time.monotonic)
    assert not found.complete
    assert found.bound is not None
    assert found.bound.reason == "everything asked for was found"
    violation = found.violation("late")
    assert violation is not None
    assert (violation.run.length, violation.shortest) == (7, True)
    other = search(program, Counting(), wanted=frozenset({"never"}), bounds=Bounds(), clock=time.monotonic)
    assert other.complete
    assert other.violated == ()


@pytest.mark.parametrize("follow", [Follow.FIRST, Follow.LAST])
def test_a_glimpse_finds_nothing_that_is_not_there(follow: Follow) -> None:
    """What is seen on a few runs is broken in all runs too; and where these were all, nothing else is."""
    wanted = frozenset({"state", "order", "end"})
    seen = every = fewer = 0
    for seed in range(200):
        random = Random(seed)
        program = compile_body(Maker(random.randrange, 5).body(3))
        world = ToyWorld(random)
        whole = {violation.rule for violation in search(program, world, bounds=Bounds(), clock=time.monotonic).violated}
        few = glimpse(program, world, wanted=wanted, follow=follow, bounds=Bounds(), clock=time.monotonic)
        assert set(few.broken) <= whole
        assert not few.every or set(few.broken) == whole
        seen, every, fewer = seen + len(few.broken), every + few.every, fewer + (set(few.broken) < whole)
    assert seen > 100
    assert every > 20
    assert fewer, "a glimpse that always saw everything would not be one"


@pytest.mark.parametrize("seed", range(20))
def test_the_same_again(seed: int) -> None:
    random = Random(seed)
    body, world = Maker(random.randrange, 6).body(3), ToyWorld(random)
    one, other = (search(compile_body(body), world, bounds=Bounds(), clock=time.monotonic) for _ in range(2))
    assert one == other


def test_an_incomplete_search_does_not_call_a_wait_stuck() -> None:
    program = compile_body((lanes((hold("h", is_so(0)),), tuple(step(f"0.{n}") for n in range(6))),))
    found = search(program, StillWorld(0, Tri.NO), bounds=Bounds(states=4), clock=time.monotonic)
    assert (found.complete, found.blocked, found.stuck) == (False, (), None)


def test_what_is_not_shown_to_be_shortest_says_so() -> None:
    class Broken(StillWorld[int]):
        def act(self, state: int, node: Do) -> Acted[int]:
            return Acted(state + 1, None, frozenset({"rule"}))

    found = search(compile_body((step("a"),)), Broken(0), bounds=Bounds(states=1), clock=time.monotonic)
    assert [(violation.run.length, violation.shortest) for violation in found.violated] == [(1, False)]
    assert found.bound is not None
    assert found.bound.length == -1


def test_memory_runs_out() -> None:
    bounds = Bounds(memory=int(held()) + 8)
    found = search(wide(8, 20), Counting(), bounds=bounds, clock=time.monotonic)
    assert not found.complete
    assert found.bound is not None
    assert found.bound.reason == f"{bounds.memory} MiB of memory"
    assert found.states > 1_000, "so little must fit into 8 MiB"
    assert len(found.bound.open) == 8
    assert found.bound.worlds == found.states
