"""Whether something unwanted can come about at all, from what must come before what. No order is searched.

A hazard is a conjunction of *wants*. For each want it is asked which action was the last to make it so (or whether it was
so at the start). These few actions, and all that must be settled before them, are the least that any run to the hazard
holds; an action among them that surely undoes a want must have come before the one that last made it so. If no choice of
such actions goes into one order, no run meets the hazard.

Everything here is on the side of caution: guards are left out, but for those that are asked for; an action that may make
a want so is taken to make it so; only one that surely undoes it, and is surely done, counts against it. So *never* may be
believed, and the fewest actions are a lower bound. Whether a sketch really is a run is for ``stepwell.orders.enact`` to
find out. The argument is in SOUNDNESS.md.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from stepwell.orders.last import Link, in_one_order, last_at_the_end
from stepwell.orders.program import Ask, Do, Look, Loop, Program, bits

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


Guards = Mapping[int, tuple[Want, ...]]
Agenda = tuple[tuple[Want, int], ...]
"""Wants, each with the node at which it is wanted."""


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


def causes(
    plan: Plan, cases: tuple[Case, ...], *, starts: int, guards: Guards | None = None, most: int = MOST_TRIED
) -> Answer:
    """Ask whether any of ``cases`` can come about, from any of so many starts.

    ``guards``: per node what must be so right before it is done. They may be left out, for they only rule runs out.
    """
    if plan.goes_back:
        return Answer(decided=False, reason="steps may be done again")
    best: Sketch | None = None
    tried = 0
    for case in cases:
        for start in range(starts):
            if case.when is When.AFTER and all(want.starts[start] for want in case.wants):
                return Answer(decided=False, reason="it may be so at the start")
            choice = _Choice(plan, case, start, guards or {}, most - tried, None if best is None else best.length)
            choice.begin()
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
    """One case from one start: which node was the last to make each want so.

    A want is wanted at a node: right before it is done, or (-1) where the hazard is looked for.
    """

    def __init__(self, plan: Plan, case: Case, start: int, guards: Guards, most: int, bound: int | None) -> None:
        self.plan, self.case, self.start, self.guards, self.most = plan, case, start, guards, most
        self.bound = bound
        self.event = 0 if case.node < 0 else 1 << case.node
        """The node at which the hazard is looked for: it is begun, so it counts, but has changed nothing yet."""
        self.guarded = 0
        for node in guards:
            self.guarded |= 1 << node
        self.found: tuple[int, list[int], int, int] | None = None
        """The nodes of the shortest sketch, what must come before each node, what is kept, and its length."""
        self.tried = 0
        self.given_up = False

    def begin(self) -> None:
        """Try all choices."""
        # What leaves the fewest choices comes first.
        wants = sorted(self.case.wants, key=lambda want: want.sets.bit_count() + want.starts[self.start])
        self._choose(tuple((want, -1) for want in wants), self.plan.begun(self.case.node), self.event, (), 0)

    def _choose(self, agenda: Agenda, inside: int, kept: int, links: tuple[Link, ...], asked: int) -> None:
        """Choose for the first of the agenda. ``inside``: what must be settled, ``kept``: what must be done for what was
        chosen, ``asked``: the nodes of which the guards are on the agenda or were."""
        self.tried += 1
        if self.tried > self.most:
            self.given_up = True
            return
        skippable = self.plan.skippable(kept)
        if skippable < 0:
            return
        nodes = self.plan.program.full if self.case.when is When.END else inside
        surely = (nodes | self.event) & ~skippable
        length = (surely & self.plan.actions).bit_count()
        if self.bound is not None and length >= self.bound:
            return
        done = surely & ~self.event
        if done & self.plan.stuck or not last_at_the_end(self.plan.below, links, done):
            return
        for node in bits(done & self.guarded & ~asked):
            agenda += tuple((want, node) for want in self.guards[node])
            asked |= 1 << node
        if not agenda:
            order = in_one_order(self.plan.below, links, done) if asked else last_at_the_end(self.plan.below, links, done)
            if order is not None:
                self.bound = length
                self.found = nodes, order, kept, length
            return
        (want, at), rest = agenda[0], agenda[1:]
        if want.starts[self.start]:
            self._choose(rest, inside, kept, (*links, Link(want.clears, -1, at)), asked)
        for node in sorted(bits(want.sets), key=lambda one: self.plan.below[one].bit_count()):
            below = self.plan.below[node]
            if self.given_up:
                return
            if below >> node & 1 or node == at or (at >= 0 and below >> at & 1):
                continue
            if self.case.node < 0 or not (below | 1 << node) >> self.case.node & 1:
                link = Link(want.clears, node, at)
                self._choose(rest, inside | below | 1 << node, kept | 1 << node, (*links, link), asked)

    def sketch(self) -> Sketch | None:
        """The shortest that fits, or None."""
        if self.found is None:
            return None
        nodes, below, kept, length = self.found
        return Sketch(self.start, self._in_order(nodes, below), kept, length)

    def _in_order(self, nodes: int, below: list[int]) -> tuple[int, ...]:
        """The nodes in an order in which all that must come before a node does; by the page where that is open.

        Waiting in circles by way of nodes that may be skipped is not looked into: such a sketch just can't be enacted.
        """
        order: list[int] = []
        left = nodes
        while left:
            rest = left
            while rest:
                index = (rest & -rest).bit_length() - 1
                if not below[index] & ~(1 << index) & left:
                    break
                rest &= rest - 1
            else:
                index = (left & -left).bit_length() - 1
            order.append(index)
            left &= ~(1 << index)
        return (*order, self.case.node) if self.case.node >= 0 else tuple(order)


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
