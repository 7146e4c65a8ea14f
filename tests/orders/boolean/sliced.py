"""One hazard at a time in a declared world: only what can matter to it is searched, and the shortest run is kept.

See SOUNDNESS.md for the argument. In short: nodes that can't touch the facts the hazard depends on are not ordered
against anything; they are done only where something that matters needs them, just before it, and cost what they cost.
Guards (what an action needs, what a look waits for, which answer applies) are left out at first, which only adds runs.
A run found is replayed in the whole world; a guard that stops it is taken into the slice, and the search begins anew. So
an empty search means that there is none, and a run that replays is a shortest one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from heapq import heappop, heappush

from stepwell.model.predicate import Predicate
from stepwell.orders.program import Ask, Bar, Do, End, Look, Loop, Program, bits
from stepwell.orders.search import Bounds, held, search
from stepwell.orders.searched import Move, Run
from tests.orders.boolean.declared import Conjunction, Declared, Deed, Hazard, When

_LOOK_AT_CLOCK = 256
GOAL = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What is known about one hazard. ``run``: the shortest that meets it, or None; trust that only if ``decided``.

    ``length``: no run of at most so many actions meets it, where undecided. ``guards``: names of the steps and holds
    whose guards had to be searched. ``sliced`` False: searched plainly.
    """

    hazard: str
    run: Run | None
    decided: bool
    states: int
    guards: tuple[str, ...] = ()
    length: int = -1
    reason: str = ""
    sliced: bool = True


def decide(
    program: Program, world: Declared, *, bounds: Bounds, clock: Callable[[], float], plain: bool = False
) -> tuple[Decision, ...]:
    """Decide every hazard of ``world``; each has the bounds to itself. ``plain``: without slices, for comparison."""
    whole = whole_of(program, world)
    return tuple(decide_one(whole, hazard, bounds, clock, plain) for hazard in world.hazards)


def whole_of(program: Program, world: Declared) -> _Whole:
    """What all slices of a program share."""
    return _Whole(program, world)


def decide_one(whole: _Whole, hazard: Hazard, bounds: Bounds, clock: Callable[[], float], plain: bool = False) -> Decision:
    """Decide one hazard."""
    at_start = hazard.when is When.AFTER and any(hazard.bad.holds(start) for start in whole.world.beginnings)
    if plain or not whole.fits or at_start:
        return _plainly(whole, hazard, bounds, clock)
    stop_at = clock() + bounds.seconds
    guards = states = 0
    while True:
        slice_ = _Slice(whole, hazard, guards)
        found = slice_.search(bounds.states - states, stop_at, bounds, clock)
        states += slice_.states
        names = tuple(dict.fromkeys(whole.program.nodes[index].name for index in bits(guards)))
        if found is None:
            if slice_.stopped:
                return Decision(
                    hazard=hazard.name,
                    run=None,
                    decided=False,
                    states=states,
                    guards=names,
                    length=slice_.level - 1,
                    reason=slice_.stopped,
                )
            return Decision(hazard=hazard.name, run=None, decided=True, states=states, guards=names)
        start, moves = found
        stops = whole.replay(start, moves, hazard)
        if stops is None:
            length = sum(isinstance(whole.program.nodes[move.node], Do) for move in moves)
            run = Run(whole.world.beginnings.index(start), tuple(moves), length)
            return Decision(hazard=hazard.name, run=run, decided=True, states=states, guards=names)
        guards |= 1 << stops


def _plainly(whole: _Whole, hazard: Hazard, bounds: Bounds, clock: Callable[[], float]) -> Decision:
    found = search(whole.program, whole.world, wanted=frozenset({hazard.name}), bounds=bounds, clock=clock)
    violation = found.violation(hazard.name)
    decided = found.complete or (violation is not None and violation.shortest)
    return Decision(
        hazard=hazard.name,
        run=None if violation is None else violation.run,
        decided=decided,
        states=found.states,
        length=-1 if found.bound is None else found.bound.length,
        reason="" if decided or found.bound is None else found.bound.reason,
        sliced=False,
    )


class _Whole:
    """The program and the world, and what every slice takes from them."""

    def __init__(self, program: Program, world: Declared) -> None:
        self.program, self.world = program, world
        nodes = program.nodes
        # A jump takes back what was done, and an end stops the others: both are searched plainly.
        self.fits = not any(isinstance(node, End) or (isinstance(node, Look) and node.jump is not None) for node in nodes)
        self.deeds: list[tuple[Deed, ...]] = []
        self.verbs: list[tuple[str, ...]] = []
        self.guarded: list[int] = []
        """Per node: the facts its guard looks at."""
        self.options: list[tuple[tuple[int, tuple[Conjunction, ...], Conjunction | None], ...]] = []
        """Per node that decides: (skips, what must be so, what must not be so) of each option."""
        self.waits: list[tuple[Conjunction, ...]] = []
        for node in nodes:
            self.deeds.append(tuple(world.deeds[action.verb] for action in node.actions) if isinstance(node, Do) else ())
            self.verbs.append(tuple(action.verb for action in node.actions) if isinstance(node, Do) else ())
            self.options.append(self._options(node) if isinstance(node, Ask | Loop) else ())
            waits = node.conditions if isinstance(node, Look | Bar) else ()
            self.waits.append(tuple(map(self.read, waits)))
            self.guarded.append(self._looks_at(len(self.waits) - 1))

    def read(self, predicate: Predicate) -> Conjunction:
        return self.world.read(predicate)

    def _options(self, node: Ask | Loop) -> tuple[tuple[int, tuple[Conjunction, ...], Conjunction | None], ...]:
        if isinstance(node, Ask):
            return tuple(
                (option.skips, () if option.guard is None else (self.read(option.guard),), None) for option in node.options
            )
        until = self.read(node.until)
        return ((node.leaves, (until,), None), *(() if node.last else ((0, (), until),)))

    def _looks_at(self, index: int) -> int:
        mask = 0
        for deed in self.deeds[index]:
            mask |= deed.needs.mask
        for test in self.waits[index]:
            mask |= test.mask
        for _, wanted, unwanted in self.options[index]:
            for test in wanted:
                mask |= test.mask
            mask |= unwanted.mask if unwanted is not None else 0
        return mask

    def may(self, index: int, option: int, state: int) -> bool:
        """True if the guard of a node that is no action lets this option pass."""
        if not all(test.holds(state) for test in self.waits[index]):
            return False
        if not self.options[index]:
            return True
        _, wanted, unwanted = self.options[index][option]
        return all(test.holds(state) for test in wanted) and not (unwanted is not None and unwanted.holds(state))

    def replay(self, state: int, moves: list[Move], hazard: Hazard) -> int | None:
        """The node whose guard stops this run in the whole world; None if it runs and meets the hazard."""
        for place, move in enumerate(moves):
            index, last = move.node, place == len(moves) - 1
            if not self.deeds[index]:
                if not self.may(index, move.option, state):
                    return index
                continue
            for verb, deed in zip(self.verbs[index], self.deeds[index], strict=True):
                if last and hazard.when is When.BEFORE and verb == hazard.verb and hazard.bad.holds(state):
                    return None
                if not deed.needs.holds(state):
                    return index
                state = deed.done(state)
        if not hazard.bad.holds(state):
            raise AssertionError("a run of the slice that is not stopped meets the hazard")
        return None


class _Slice:
    """The part of a program that can matter to one hazard, with the guards of the nodes in ``guards``."""

    def __init__(self, whole: _Whole, hazard: Hazard, guards: int) -> None:
        self.whole, self.hazard, self.guards = whole, hazard, guards
        self.facts = hazard.bad.mask
        self.taken = guards
        nodes = whole.program.nodes
        self.events = 0
        if hazard.when is When.BEFORE:
            self.events = sum(1 << index for index in range(len(nodes)) if hazard.verb in whole.verbs[index])
        self.taken |= self.events
        self._close()
        self.covers = list(whole.program.covers)
        self.costs = [int(isinstance(node, Do)) for node in nodes]
        self.settles = [1 << index for index in range(len(nodes))]
        self.static: dict[int, int] = {}
        self._settle_what_is_free()
        self.relevant = bits(self.taken)
        self.states = self.level = 0
        self.stopped = ""

    def _close(self) -> None:
        """Take in every node that can touch the facts, the facts that decide about that, and the decisions about both."""
        whole = self.whole
        grown = True
        while grown:
            before = self.facts, self.taken
            for index in bits(self.guards):
                self.facts |= whole.guarded[index]
            for index, deeds in enumerate(whole.deeds):
                for deed in deeds:
                    for effect in deed.effects:
                        if effect.mask & self.facts:
                            self.taken |= 1 << index
                            self.facts |= effect.when.mask
            for index, options in enumerate(whole.options):
                if any(skips & self.taken for skips, _, _ in options) or (options and _least(options) is None):
                    self.taken |= 1 << index
            grown = before != (self.facts, self.taken)

    def _settle_what_is_free(self) -> None:
        """A decision about nothing that matters is answered with what leaves most out; what it leaves out costs nothing."""
        for index, options in enumerate(self.whole.options):
            if options and not self.taken >> index & 1:
                least = _least(options)
                assert least is not None
                self.static[index] = least
                skips = options[least][0]
                self.settles[index] |= skips
                for skipped in bits(skips):
                    self.covers[skipped] = 1 << index
                    self.costs[skipped] = 0
                    self.static.setdefault(skipped, 0)

    def pull(self, mask: int, wanted: int) -> tuple[int, int]:
        """(nodes, cost) of all that must still be settled for ``wanted``; (-1, 0) if that is more than may be pulled."""
        covers, costs, taken = self.covers, self.costs, self.taken
        need = wanted & ~mask
        found = cost = 0
        while need:
            index = need.bit_length() - 1
            bit = 1 << index
            if taken & bit:
                return -1, 0
            found |= bit
            cost += costs[index]
            need = (need | covers[index] & ~mask) & ~found
        return found, cost

    def search(self, most: int, stop_at: float, bounds: Bounds, clock: Callable[[], float]) -> tuple[int, list[Move]] | None:
        """A start and the moves of a shortest run that meets the hazard; None if there is none, or ``stopped``."""
        width = len(self.whole.program.nodes)
        roots: dict[int, int] = {}
        for start in self.whole.world.beginnings:
            roots.setdefault(start & self.facts, start)
        best: dict[int, int] = {}
        parents: dict[int, tuple[int, int, int]] = {}
        heap: list[tuple[int, int, int]] = []
        for facts in roots:
            best[facts << width] = 0
            heappush(heap, (0, 0, facts << width))
        goals: list[tuple[int, int, int]] = []
        while heap:
            cost, goal, key = heappop(heap)
            self.level = cost
            if goal:
                return self._told(goals[goal - 1], parents, roots, width)
            if best[key] < cost:
                continue
            self.states += 1
            if self.states > most:
                self.stopped = f"{bounds.states} states"
                return None
            if not self.states % _LOOK_AT_CLOCK and (clock() > stop_at or held() > bounds.memory):
                self.stopped = f"{bounds.seconds:g} s" if clock() > stop_at else f"{bounds.memory} MiB of memory"
                return None
            for extra, index, option, then in self._moves(key & ((1 << width) - 1), key >> width):
                if then < 0:
                    goals.append((key, index, option))
                    heappush(heap, (cost + extra, len(goals), key))
                elif cost + extra < best.get(then, cost + extra + 1):
                    best[then] = cost + extra
                    parents[then] = key, index, option
                    heappush(heap, (cost + extra, 0, then))
        return None

    def _moves(self, mask: int, facts: int) -> list[tuple[int, int, int, int]]:
        """(cost, node, option, key after it; GOAL where the hazard is met) of every move that matters."""
        whole, width, out = self.whole, len(self.whole.program.nodes), []
        open_ = self.taken & ~mask
        if not open_:
            if self.hazard.when is When.END and self.hazard.bad.holds(facts):
                out.append((self.pull(mask, whole.program.full)[1], GOAL, 0, GOAL))
            return out
        for index in bits(open_):
            nodes, cost = self.pull(mask, self.covers[index])
            if nodes < 0:
                continue
            then = mask | nodes | 1 << index
            guarded = self.guards >> index & 1
            if not whole.deeds[index]:
                for option, (skips, _, _) in enumerate(whole.options[index] or ((0, (), None),)):
                    if not guarded or whole.may(index, option, facts):
                        out.append((cost, index, option, facts << width | then | skips))
                continue
            met, after = self._done(index, facts, bool(guarded))
            if met:
                out.append((cost + 1, index, 0, GOAL))
            elif after is not None:
                out.append((cost + 1, index, 0, after << width | then))
        return out

    def _done(self, index: int, facts: int, guarded: bool) -> tuple[bool, int | None]:
        """(the hazard is met, the facts after it or None where it is refused)."""
        hazard = self.hazard
        for verb, deed in zip(self.whole.verbs[index], self.whole.deeds[index], strict=True):
            if hazard.when is When.BEFORE and verb == hazard.verb and hazard.bad.holds(facts):
                return True, None
            if guarded and not deed.needs.holds(facts):
                return False, None
            facts = deed.done(facts) & self.facts
        return hazard.when is When.AFTER and hazard.bad.holds(facts), facts

    def _told(
        self, goal: tuple[int, int, int], parents: dict[int, tuple[int, int, int]], roots: dict[int, int], width: int
    ) -> tuple[int, list[Move]]:
        key, index, option = goal
        steps = [(index, option)]
        while key in parents:
            key, index, option = parents[key]
            steps.append((index, option))
        start, mask, moves = roots[key >> width], 0, list[Move]()
        for index, option in reversed(steps):
            wanted = self.whole.program.full if index == GOAL else self.covers[index]
            mask = self._pulled(mask, self.pull(mask, wanted)[0], moves)
            if index != GOAL:
                moves.append(Move(index, option))
                options = self.whole.options[index]
                mask |= 1 << index | (options[option][0] if options else 0)
        return start, moves

    def _pulled(self, mask: int, nodes: int, moves: list[Move]) -> int:
        skipped = 0
        for index in bits(nodes):
            if skipped >> index & 1:
                continue
            moves.append(Move(index, self.static.get(index, 0)))
            skipped |= self.settles[index] & ~(1 << index)
        return mask | nodes | skipped


def _least(options: tuple[tuple[int, tuple[Conjunction, ...], Conjunction | None], ...]) -> int | None:
    """The option that leaves out everything that any other one does; None if none does."""
    most = 0
    for skips, _, _ in options:
        most |= skips
    return next((number for number, (skips, _, _) in enumerate(options) if skips == most), None)
