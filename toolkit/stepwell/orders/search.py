"""The exhaustive search: every permitted order in every state it can be in, shortest first.

0-1 breadth-first: actions cost one, everything else nothing. What is remembered is the pair of control mask and state,
packed into one int (states are numbered as they are met). Nothing is pruned but what stepwell.orders.control takes at
once, so a complete search that met no violation has looked at every run.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Generic

from stepwell.orders.branches import branches
from stepwell.orders.control import Control, Spot
from stepwell.orders.found import Found
from stepwell.orders.places import TAKEN, Places, packed
from stepwell.orders.program import Do, Program, bits, turn
from stepwell.orders.searched import Searched
from stepwell.orders.world import S, World

_LOOK_AT_CLOCK = 64
_WEIGH = 1_000
_PLANS = 50_000
"""So many plans are kept: breadth-first search needs those of one level only, and memory is what runs out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Where a search stops undecided: at so many distinct states (of control and world), after so many seconds, or
    once the interpreter holds so many MiB (see ``held``)."""

    states: int = 1_000_000
    seconds: float = 60.0
    memory: int = 800


class Follow(Enum):
    """Which of the actions that are possible at a place are followed."""

    EVERY = "every"
    FIRST = "first on the page"
    LAST = "last on the page"


def held() -> float:
    """MiB that the interpreter's objects take, as an estimate that needs nothing from the operating system.

    Blocks of its allocator, counted at 128 bytes: in searches of circuits the whole process took 81 to 138 bytes per
    block (measured on Linux), the more the smaller the search. 0 on an interpreter that does not count its blocks.
    """
    return sys.getallocatedblocks() * 128 / 2**20


def search(
    program: Program,
    world: World[S],
    *,
    wanted: frozenset[str] | None = None,
    bounds: Bounds,
    clock: Callable[[], float],
) -> Searched[S]:
    """Search all runs of ``program`` in ``world``.

    With ``wanted`` only these rules are recorded, and the search stops (not ``complete``) once each of them has its
    shortest run. ``clock`` gives seconds, as time.monotonic does. Same program and world, same result, unless the time
    runs out.
    """
    return Search(program, world, wanted, bounds, clock, Follow.EVERY).run()


class _Plan:
    """What is to be done at one mask, whatever the state of the world.

    ``acts``: (index, node, mask after it, ready nodes after it); ``others``: nodes that are no actions.
    """

    __slots__ = ("acts", "end", "others", "over")

    def __init__(self, program: Program, control: Control, spot: Spot, backwards: bool) -> None:
        ends = spot.ready & control.ends
        self.end = bits(ends)[0] if ends else -1
        self.over = bool(ends) or spot.mask == control.full
        acts: list[tuple[int, Do, int, int]] = []
        others: list[int] = []
        for index in () if self.over else control.expand(spot.ready):
            node = program.nodes[index]
            if isinstance(node, Do):
                acts.append((index, node, *control.after(spot.mask, spot.ready, index)))
            else:
                others.append(index)
        self.acts, self.others = tuple(acts[::-1] if backwards else acts), tuple(others)


class Search(Generic[S]):
    """One search. ``ids`` numbers the states of the world, ``seen`` the places (packed mask and state number).

    ``elsewhere`` tells of places (mask and state) that are searched elsewhere, so that they are not gone on from here.
    """

    def __init__(
        self,
        program: Program,
        world: World[S],
        wanted: frozenset[str] | None,
        bounds: Bounds,
        clock: Callable[[], float],
        follow: Follow,
        found: Found[S] | None = None,
        elsewhere: Callable[[int, S], bool] | None = None,
    ) -> None:
        self.program, self.world, self.bounds, self.clock = program, world, bounds, clock
        self.follow = follow
        self.passed_by = False
        self.control = Control(program)
        self.found: Found[S] = Found(program, wanted) if found is None else found
        self.elsewhere = elsewhere
        self.places = Places()
        self.states: list[S] = []
        self.ids: dict[S, int] = {}
        self.seen: dict[int, int] = {}
        self.plans: dict[int, _Plan] = {}
        self.weigh_at = _WEIGH

    def run(self) -> Searched[S]:
        """From the starts of the world to the result."""
        whole, reason = self.explore(self.starts())
        return self.found.result(self.places, self.states, self.control, whole, reason)

    def starts(self) -> dict[int, list[tuple[Spot, S]]]:
        """The places from which a search begins: nothing was done, in every state that the world permits."""
        return {0: [(self.control.start(), state) for state in self.world.starts()]}

    def explore(self, begun: Mapping[int, Sequence[tuple[Spot, S]]]) -> tuple[int, str | None]:
        """Level by level; a level is everything that is reached by so many actions and no fewer. ``begun``: the places
        from which it begins, by their level.

        So many levels were expanded entirely, and why no more were (None: all).
        """
        stop_at = self.clock() + self.bounds.seconds
        now: list[int] = []
        reason: str | None = None
        whole, last = 0, max(begun, default=0)
        while (now or whole <= last) and reason is None:
            for number, (spot, state) in enumerate(begun.get(whole, ())):
                if not self._reach(-1 - number, 0, state, spot, whole, now):
                    reason = self._too_many()
            later: list[int] = []
            reason = reason or self._level(whole, now, later, stop_at)
            if reason is None:
                whole += 1
                if later and self.found.has_all_wanted():
                    reason = "everything asked for was found"
            now = later
        return whole, reason

    def _level(self, level: int, now: list[int], later: list[int], stop_at: float) -> str | None:
        """Expand ``now``, which grows as decisions lead on within the level. The reason why it stopped, or None."""
        places, states, ids, seen, plans = self.places, self.states, self.ids, self.seen, self.plans
        keys, expanded, targets, most = places.keys, places.expanded, places.targets, self.bounds.states
        act, width, full, length = self.world.act, len(self.program.nodes), self.control.full, level + 1
        every, elsewhere = self.follow is Follow.EVERY, self.elsewhere
        for count, place in enumerate(now):
            if expanded[place]:
                continue
            if not count % _LOOK_AT_CLOCK:
                if self.clock() > stop_at:
                    return f"{self.bounds.seconds:g} s"
                if len(places.order) >= self.weigh_at and self._too_heavy():
                    return f"{self.bounds.memory} MiB of memory"
            key = keys[place]
            mask, state = key & full, states[key >> width]
            plan = plans.get(mask) or self._plan(mask, places.ready[place])
            places.order.append(place)
            places.firsts.append(len(targets))
            for index, node, mask_then, ready_then in plan.acts:
                after, refused, broke = act(state, node)
                if broke:
                    self.found.broke(broke, length, place, TAKEN | index)
                if after is None:
                    self.found.refused(node, index, place, refused or "")
                    continue
                known = ids.setdefault(after, len(states))
                if known == len(states):
                    states.append(after)
                key, fresh = known << width | mask_then, len(keys)
                to = seen.setdefault(key, fresh)
                if to == fresh:
                    if elsewhere is not None and elsewhere(mask_then, after):
                        del seen[key]
                        to = -1
                    elif to >= most:
                        return self._too_many()
                    else:
                        places.add(key, ready_then, place, TAKEN | index, length)
                        later.append(to)
                if to >= 0:
                    targets.append(to)
                if not every:
                    self.passed_by = self.passed_by or len(plan.acts) > 1
                    break
            if plan.over:
                self._end(place, key >> width, level, plan.end)
            elif plan.others and not self._others(place, level, plan, state, now):
                return self._too_many()
            expanded[place] = 1
        return None

    def _too_heavy(self) -> bool:
        """Weigh again after so many more places: it takes a moment, and a search of a few hundred places can do without."""
        self.weigh_at = len(self.places.order) + _WEIGH
        return held() > self.bounds.memory

    def _too_many(self) -> str:
        return f"{self.bounds.states} states"

    def _plan(self, mask: int, ready: int) -> _Plan:
        if len(self.plans) >= _PLANS:
            self.plans.clear()
        plan = self.plans[mask] = _Plan(self.program, self.control, Spot(mask, ready), self.follow is Follow.LAST)
        return plan

    def _reach(self, parent: int, move: int, state: S, spot: Spot, length: int, now: list[int]) -> bool:
        """A place that costs nothing from ``parent``, new or on a shorter way. False if it is new and one too many."""
        known = self.ids.setdefault(state, len(self.states))
        if known == len(self.states):
            self.states.append(state)
        places = self.places
        key = known << len(self.program.nodes) | spot.mask
        to = self.seen.get(key, -1)
        if to < 0:
            if parent >= 0 and self.elsewhere is not None and self.elsewhere(spot.mask, state):
                return True
            to = len(places.keys)
            if to >= self.bounds.states:
                return False
            self.seen[key] = to
            places.add(key, spot.ready, parent, move, length)
            now.append(to)
        elif places.lengths[to] > length:
            places.parents[to], places.moves[to], places.lengths[to] = parent, move, length
            now.append(to)
        if parent >= 0:
            places.targets.append(to)
        return True

    def _others(self, place: int, level: int, plan: _Plan, state: S, now: list[int]) -> bool:
        """Looks, bars and decisions of one place. False if the bound was reached."""
        nodes = self.program.nodes
        spot = Spot(self.places.keys[place] & self.control.full, self.places.ready[place])
        here = [(index, branches(self.world, nodes[index], state)) for index in plan.others]
        for index, branch in here:
            for way in branch.ways:
                then = self.control.turned(*spot, index, *turn(nodes[index], way.option))
                move = packed(index, way.option, way.truth)
                if not self._reach(place, move, way.state, then, level, now):
                    return False
        acting = len(plan.acts) + sum(1 for _, branch in here if branch.ways)
        for index, branch in here:
            for failure in branch.failures:
                self.found.fails(index, place, failure, acting - bool(branch.ways))
        return True

    def _end(self, place: int, state: int, level: int, end: int) -> None:
        move = self.found.ends_at(place, state, end)
        broke = self.world.finish(self.states[state])
        if broke:
            self.found.broke(broke, level, place, move, at_end=True)
