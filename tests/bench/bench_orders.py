"""Figures for the search and the count of orders. Prints, never fails: ``python tests/bench/bench_orders.py``.

Families: W k x n, lanes without any order between them; B, the same between bars; R, the same with looks, options and
orders across. ``trivial``: the world never changes, so that the cost is the search's own; ``counting``: one new tuple
per action.
"""

from __future__ import annotations

import resource
import time

from stepwell.model.predicate import Predicate
from stepwell.model.procedure import Action, Body, Hold, Lane, Lanes, Step
from stepwell.model.tri import Tri
from stepwell.orders.compile import compile_body
from stepwell.orders.count import count_orders
from stepwell.orders.program import Do
from stepwell.orders.search import Bounds, search
from stepwell.orders.world import Acted, Observed, World

State = tuple[int, ...]
LANES = 8


class Trivial:
    """One state."""

    same = Acted[State]((0,) * LANES)

    def starts(self) -> tuple[State, ...]:
        return ((0,) * LANES,)

    def act(self, state: State, node: Do) -> Acted[State]:
        return self.same

    def observe(self, state: State, predicate: Predicate) -> Observed[State]:
        return Observed(Tri.YES, state)

    def finish(self, state: State) -> frozenset[str]:
        return frozenset()


class Counting(Trivial):
    """Counts the actions of each lane."""

    def act(self, state: State, node: Do) -> Acted[State]:
        lane = int(node.who)
        return Acted((*state[:lane], state[lane] + 1, *state[lane + 1 :]))


def lanes(name: str, width: int, length: int, *, rich: bool = False) -> Lanes:
    """``rich``: every fifth step is optional, every seventh waits for the step before it in the lane to its left."""

    def step(lane: int, index: int) -> Step:
        after = (f"{name}{lane - 1}.{index - 1}",) if rich and lane and index % 7 == 6 else ()
        do = (Action(verb="open"),)
        return Step(id=f"{name}{lane}.{index}", who=str(lane), say=(), do=do, after=after, optional=rich and index % 5 == 4)

    return Lanes(
        title="",
        lanes=tuple(Lane(who=str(lane), body=tuple(step(lane, n) for n in range(length))) for lane in range(width)),
    )


def bars(stages: int, width: int, length: int) -> Body:
    """Stages of lanes with a hold after each."""
    body: list[Lanes | Hold] = []
    for index in range(stages):
        body.append(lanes(f"s{index}.", width, length))
        body.append(Hold(id=f"h{index}", title=(), until=(), agree=(), abort=()))
    return tuple(body)


def report(name: str, body: Body, world: World[State], bounds: Bounds) -> None:
    """One line of figures."""
    started = time.perf_counter()
    program = compile_body(body)
    compiled = time.perf_counter()
    found = search(program, world, bounds=bounds, clock=time.monotonic)
    searched = time.perf_counter()
    counted = count_orders(program)
    done = time.perf_counter()
    rate = found.transitions / (searched - compiled)
    how_many = f"{'' if counted.exact else '>= '}{float(min(counted.number, 10**300)):.1e}"
    print(
        f"{name:24} {len(program.nodes):4} nodes {found.states:8} states {found.transitions:9} moves "
        f"{rate / 1000:6.0f} k/s  compile {1000 * (compiled - started):7.1f} ms  "
        f"search {1000 * (searched - compiled):8.1f} ms  "
        f"count {1000 * (done - searched):7.1f} ms  {how_many:>10} orders  {'complete' if found.complete else 'cut short'}"
    )


def main() -> None:
    """Print the table."""
    bounds = Bounds(states=400_000, seconds=30)
    for name, world in (("trivial", Trivial()), ("counting", Counting())):
        report(f"W 4x20 {name}", (lanes("a", 4, 20),), world, bounds)
        report(f"W 3x40 {name}", (lanes("a", 3, 40),), world, bounds)
        report(f"B 10x3x8 {name}", bars(10, 3, 8), world, bounds)
        report(f"R 3x24 {name}", (lanes("a", 3, 24, rich=True),), world, bounds)
    report("W 8x20 bounded", (lanes("a", 8, 20),), Counting(), Bounds(states=100_000, seconds=30))
    print(f"peak {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
