"""Whether something unwanted can come about at all, from what must come before what. No order is searched.

A hazard is a conjunction of *wants*. For each want it is asked which action was the last to make it so (or whether it was
so at the start). These few actions, and all that must be settled before them, are the least that any run to the hazard
holds; an action among them that surely undoes a want must have come before the one that last made it so. If no choice of
such actions goes into one order, no run meets the hazard.

Everything here is on the side of caution: guards are left out; an action that may make a want so is taken to make it
so; only one that surely undoes it, and is surely done, counts against it. So *never* may be believed, and the fewest
actions are a lower bound. Whether a sketch really is a run is for ``stepwell.orders.enact`` to find out. The argument is
in SOUNDNESS.md.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from stepwell.orders.program import Ask, Do, End, Look, Loop, Program, bits

MOST_TRIED = 20_000
"""So many choices of last setters are tried for one hazard; past that it is left open."""


class Want(NamedTuple):
    """Something that is so or not. ``starts``: per start of the world, whether it may be so there.

    ``sets``: mask of the nodes after which it may be so although it was not before. ``clears``: mask of the nodes after
    which it surely is not so. A node in neither leaves it as it is, or undoes it only perhaps.
    """

    starts: tuple[bool, ...]
    sets: int
    clears: int


class When(Enum):
    """Where in a run a hazard is looked for."""

    AFTER = "after"
    """After any action."""
    BEFORE = "before"
    """Right before the node is taken: the wants are those of the moment before it."""
    END = "end"
    """Where everything is settled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One way in which a hazard can come about. ``node``: the one right before which it is looked for (BEFORE only)."""

    when: When
    wants: tuple[Want, ...]
    node: int = -1


class Sketch(NamedTuple):
    """The least that a run to a hazard holds: ``nodes`` in an order that fits; ``kept`` of them must not be skipped."""

    start: int
    nodes: tuple[int, ...]
    kept: int
    length: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """``decided`` without a sketch: no run meets the hazard. With one: every run to it has at least its length.

    Not ``decided``: ``reason`` says why nothing can be said.
    """

    decided: bool
    sketch: Sketch | None = None
    reason: str = ""


def causes(plan: Plan, cases: tuple[Case, ...], *, starts: int, most: int = MOST_TRIED) -> Answer:
    """Ask whether any of ``cases`` can come about, from any of so many starts."""
    if plan.goes_back:
        return Answer(decided=False, reason="steps may be done again")
    best: Sketch | None = None
    tried = 0
    for case in cases:
        for start in range(starts):
            if case.when is When.AFTER and all(want.starts[start] for want in case.wants):
                return Answer(decided=False, reason="it may be so at the start")
            choice = _Choice(plan, case, start, most - tried, None if best is None else best.length)
            choice.choose(0, plan.begun(case.node), choice.event, ())
            tried += choice.tried
            if choice.given_up:
                return Answer(decided=False, reason=f"more than {most} ways to look at")
            best = choice.sketch() or best
    return Answer(decided=True, sketch=best)


class Plan:
    """What must be settled before what, for every way in which the decisions can be answered.

    ``waits``: pairs of a node and a want without which the node can't be taken (a hold, an action that is refused). Where
    only one node can bring it about, that one comes before.
    """

    def __init__(self, program: Program, waits: tuple[tuple[int, Want], ...] = ()) -> None:
        self.program = program
        nodes = program.nodes
        self.goes_back = any(isinstance(node, Look) and node.jump is not None and node.jump.undoes for node in nodes)
        self.actions = _mask(index for index, node in enumerate(nodes) if isinstance(node, Do))
        self.ends = tuple(index for index, node in enumerate(nodes) if isinstance(node, End))
        self.decisions = tuple(found for node in nodes if not isinstance(node, Do) and (found := _skips(node)))
        self.loose = 0
        for decision in self.decisions:
            for skips in decision:
                self.loose |= skips
        self.free = self._left_out(0)
        self.below = list(program.surely)
        self._wait_for(waits)
        self.stuck = _mask(index for index, below in enumerate(self.below) if below >> index & 1)
        """Nodes that wait for what can only come after them, so that they are never done."""

    def begun(self, node: int) -> int:
        """All that must be settled before the node is begun, whether or not it can then be done; nothing for no node."""
        if node < 0:
            return 0
        found = self.program.surely[node]
        for one in bits(found & ~self.loose):
            found |= self.below[one]
        return found

    def skippable(self, kept: int) -> int:
        """The nodes that may be left out although all of ``kept`` are done; -1 if no answers do all of them."""
        return self._left_out(kept) if kept & self.loose else self.free

    def _left_out(self, kept: int) -> int:
        found = 0
        for decision in self.decisions:
            possible = [skips for skips in decision if not skips & kept]
            if not possible:
                return -1
            for skips in possible:
                found |= skips
        return found

    def _wait_for(self, waits: tuple[tuple[int, Want], ...]) -> None:
        """Add what waiting implies, also for all that comes after a waiting node that can't be left out."""
        edges = [
            (node, want.sets.bit_length() - 1)
            for node, want in waits
            if not any(want.starts) and want.sets and not want.sets & (want.sets - 1) and want.sets != 1 << node
        ]
        changed = bool(edges)
        while changed:
            changed = False
            for node, setter in edges:
                needed = self.below[node] | self.below[setter] | 1 << setter
                changed = changed or needed != self.below[node]
                self.below[node] = needed
            for index, below in enumerate(self.below):
                grown = below
                for node, _ in edges:
                    if below >> node & 1 and not self.loose >> node & 1:
                        grown |= self.below[node]
                changed = changed or grown != below
                self.below[index] = grown


class _Choice:
    """One case from one start: which node was the last to make each want so."""

    def __init__(self, plan: Plan, case: Case, start: int, most: int, bound: int | None) -> None:
        self.plan, self.case, self.start, self.most = plan, case, start, most
        self.bound = bound
        self.event = 0 if case.node < 0 else 1 << case.node
        """The node at which the hazard is looked for: it is begun, so it counts, but has changed nothing yet."""
        self.found: tuple[int, dict[int, int], int, int] | None = None
        """The nodes of the shortest sketch, what must come before each chosen one, what is kept, and its length."""
        self.tried = 0
        self.given_up = False
        # What leaves the fewest choices comes first.
        self.wants = sorted(case.wants, key=lambda want: want.sets.bit_count() + want.starts[start])
        self.setters = [sorted(bits(want.sets), key=lambda node: plan.below[node].bit_count()) for want in self.wants]

    def choose(self, number: int, inside: int, kept: int, chosen: tuple[int, ...]) -> None:
        """Choose for the want of this number; ``inside``: what must be settled, ``kept``: what must be done for it."""
        self.tried += 1
        if self.tried > self.most:
            self.given_up = True
            return
        skippable = self.plan.skippable(kept)
        if skippable < 0:
            return
        end = self.case.when is When.END
        surely = (self.plan.program.full if end else inside | self.event) & ~skippable
        length = (surely & self.plan.actions).bit_count()
        if self.bound is not None and length >= self.bound:
            return
        if surely & ~self.event & self.plan.stuck:
            return
        befores = self._befores(surely & ~self.event, chosen)
        if befores is None:
            return
        if number == len(self.wants):
            self.bound = length
            self.found = self.plan.program.full if end else inside, befores, kept, length
            return
        if self.wants[number].starts[self.start]:
            self.choose(number + 1, inside, kept, (*chosen, -1))
        for node in self.setters[number]:
            below = self.plan.below[node]
            if below >> node & 1 or (self.case.node >= 0 and (below | 1 << node) >> self.case.node & 1):
                continue
            self.choose(number + 1, inside | below | 1 << node, kept | 1 << node, (*chosen, node))
            if self.given_up:
                return

    def _befores(self, surely: int, chosen: tuple[int, ...]) -> dict[int, int] | None:
        """Per chosen node what must come before it so that it is the last; None if that goes round in a circle."""
        befores: dict[int, int] = {}
        for want, node in zip(self.wants, chosen, strict=False):
            against = want.clears & surely
            if node < 0:
                if against:
                    return None
                continue
            befores[node] = befores.get(node, 0) | against & ~(1 << node)
        return befores if _fits(self.plan.below, befores) else None

    def sketch(self) -> Sketch | None:
        """The shortest that fits, or None."""
        if self.found is None:
            return None
        nodes, befores, kept, length = self.found
        return Sketch(self.start, self._in_order(nodes, befores), kept, length)

    def _in_order(self, nodes: int, befores: dict[int, int]) -> tuple[int, ...]:
        """The nodes in an order in which all that must come before a node does; by the page where that is open.

        Waiting in circles by way of nodes that may be skipped is not looked into: such a sketch just can't be enacted.
        """
        order: list[int] = []
        left = nodes
        while left:
            rest = left
            while rest:
                index = (rest & -rest).bit_length() - 1
                if not self._waits(index, befores) & left:
                    break
                rest &= rest - 1
            else:
                index = (left & -left).bit_length() - 1
            order.append(index)
            left &= ~(1 << index)
        return (*order, self.case.node) if self.case.node >= 0 else tuple(order)

    def _waits(self, node: int, befores: dict[int, int]) -> int:
        return (self.plan.below[node] | befores.get(node, 0)) & ~(1 << node)


def _fits(below: list[int], befores: dict[int, int]) -> bool:
    """True if the edges go into one order with ``below``: no chosen node has to come before itself."""
    first: dict[int, int] = {}
    for node, earlier in befores.items():
        mask = earlier
        for one in bits(earlier):
            mask |= below[one]
        first[node] = mask | below[node]
    for between in befores:
        for node in befores:
            if first[node] >> between & 1:
                first[node] |= first[between]
    return not any(mask >> node & 1 for node, mask in first.items())


def _skips(node: object) -> tuple[int, ...]:
    """What each answer to a decision leaves out; empty if it is none."""
    match node:
        case Ask(options=options):
            return tuple(option.skips for option in options)
        case Loop(leaves=leaves, last=last):
            return (leaves,) if last else (leaves, 0)
        case Look(jump=jump) if jump is not None:
            return (0, jump.skips)
    return ()


def _mask(indices: Iterator[int]) -> int:
    found = 0
    for index in indices:
        found |= 1 << index
    return found
