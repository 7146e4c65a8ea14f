"""How many orders a body permits, without walking through them.

What is counted: sequences of actions (those at once as one), together with the answers. Every decision is answered as
soon as it is reached, for the moment of an answer changes nothing; an outcome that leads right to the end may take
effect at any later moment, since it stops the others, while one with steps ends the run with the last of them. The
count is about the page alone: whether a hold, an expectation or an outcome's ``when`` is so, and whether an action is
possible, is not asked. A run that ``if-not`` sends back is not counted (there is no end of them), and the number is
then *at least*.

How: linear extensions are counted over down-sets, and a set of nodes is taken apart first where that is possible.
Parts without an order between them multiply with a multinomial, parts of which one wholly precedes the other just
multiply; so lanes and bars are cheap. Since a decision may change how many actions follow, counts are kept per length.
Counting linear extensions is #P-complete (Brightwell and Winkler, from memory), hence the bound.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator
from math import comb
from typing import NamedTuple

from stepwell.orders.program import Ask, Bar, Do, End, Look, Loop, Node, Program, bits, turn, undoing

Lengths = dict[int, int]
"""Number of actions: number of orders of that length."""


class Counted(NamedTuple):
    """``exact`` False: at least that many."""

    number: int
    exact: bool


class _Tally(NamedTuple):
    """Orders that settle all nodes of a set, and those that end the whole run in it."""

    done: Lengths
    ended: Lengths


_Work = Generator[int, _Tally, _Tally]
"""Yields the sets whose tallies it needs, is sent them, and returns its own."""

_ONE = _Tally({0: 1}, {})
_OVER = _Tally({}, {0: 1})


def count_orders(program: Program, *, states: int = 20_000) -> Counted:
    """The number of orders that ``program`` permits; at least that many if more than ``states`` sets had to be kept."""
    counter = _Counter(program, states)
    tally = counter.count(program.full)
    return Counted(sum(tally.done.values()) + sum(tally.ended.values()), counter.exact)


class _Counter:
    """Sets of unsettled nodes are masks. ``near``: what a node needs and what needs it. ``skips``: all it may skip."""

    def __init__(self, program: Program, states: int) -> None:
        self.nodes, self.needs, self.surely = program.nodes, program.needs, program.surely
        self.states = states
        self.exact = not any(undoing(node) for node in program.nodes)
        self.memo: dict[int, _Tally] = {}
        self.near = list(program.needs)
        for index, need in enumerate(program.needs):
            for other in bits(need):
                self.near[other] |= 1 << index
        self.options = tuple(_options(node) for node in program.nodes)
        self.skips = [0] * len(program.nodes)
        self.ends = 0
        for index, node in enumerate(program.nodes):
            for option in self.options[index]:
                self.skips[index] |= turn(node, option)[0]
            self.ends |= isinstance(node, End) << index

    def count(self, whole: int) -> _Tally:
        """All orders of the unsettled nodes ``whole``. Work waits on a list, for it goes too deep for calls."""
        answer = self.known(whole)
        waiting = [self.work(whole)] if answer is None else []
        while waiting:
            try:
                asked = next(waiting[-1]) if answer is None else waiting[-1].send(answer)
            except StopIteration as finished:
                waiting.pop()
                answer = finished.value
                continue
            answer = self.known(asked)
            if answer is None:
                waiting.append(self.work(asked))
        assert answer is not None
        return answer

    def known(self, rest: int) -> _Tally | None:
        """What needs no work: nothing, what was counted before, and everything once the bound is reached."""
        if not rest:
            return _ONE
        known = self.memo.get(rest)
        if known is None and len(self.memo) >= self.states:
            self.exact = False
            return self.any_one(rest)
        return known

    def work(self, rest: int) -> _Work:
        """Count ``rest``, asking for the tallies of smaller sets."""
        parts = (rest,) if rest & self.ends else tuple(self.apart(rest))
        if len(parts) > 1:
            tally = _ONE
            for part in parts:
                tally = _beside(tally, (yield part))
        else:
            parts = self.in_a_row(rest)
            if len(parts) == 1:
                tally = yield from self.branch(rest)
            else:
                tally = _ONE
                for part in parts:
                    tally = _in_turn(tally, (yield part))
        self.memo[rest] = tally
        return tally

    def apart(self, rest: int) -> Iterator[int]:
        """The parts of ``rest`` between which there is no order. (What a decision skips needs it, so it is near.)"""
        while rest:
            part, fresh = 0, rest & -rest
            while fresh:
                part |= fresh
                reached = 0
                for node in bits(fresh):
                    reached |= self.near[node]
                fresh = reached & rest & ~part
            yield part
            rest &= ~part

    def in_a_row(self, rest: int) -> tuple[int, ...]:
        """The parts of ``rest`` of which each wholly precedes the next. No decision skips what is in a later part."""
        below = sorted(((self.surely[node] & rest).bit_count(), node) for node in bits(rest))
        above = [rest] * (len(below) + 1)
        for position in range(len(below) - 1, -1, -1):
            above[position] = above[position + 1] & self.surely[below[position][1]]
        parts: list[int] = []
        seen = skipped = done = 0
        for position, (_, node) in enumerate(below[:-1]):
            seen |= 1 << node
            skipped |= self.skips[node] & rest
            if not seen & ~above[position + 1] and not skipped & ~seen:
                parts.append(seen & ~done)
                done = seen
        return (*parts, rest & ~done)

    def branch(self, rest: int) -> _Work:
        """One node at a time: first what costs nothing, then each action that may come next."""
        while free := [node for node in bits(rest) if not self.needs[node] & rest]:
            kinds = [self.nodes[node] for node in free]
            if any(isinstance(kind, End) and not kind.bare for kind in kinds):
                return _OVER
            neutral = sum(
                1 << node for node in free if not self.options[node] and not isinstance(self.nodes[node], Do | End)
            )
            if not neutral:
                break
            rest &= ~neutral
        done: Lengths = {}
        ended: Lengths = {}
        deciding = next((node for node in free if self.options[node]), None)
        if deciding is not None:
            for option in self.options[deciding]:
                skips, _ = turn(self.nodes[deciding], option)
                _add(done, ended, (yield rest & ~(skips | 1 << deciding)), 0)
            return _Tally(done, ended)
        if not rest:
            return _ONE
        for node in free:
            if isinstance(self.nodes[node], End):
                _add(done, ended, _OVER, 0)
            else:
                _add(done, ended, (yield rest & ~(1 << node)), 1)
        return _Tally(done, ended)

    def any_one(self, rest: int) -> _Tally:
        """One order, whichever: the least that can be said."""
        length = 0
        while rest:
            node = next(node for node in bits(rest) if not self.needs[node] & rest)
            if isinstance(self.nodes[node], End):
                return _Tally({}, {length: 1})
            length += isinstance(self.nodes[node], Do)
            skips = turn(self.nodes[node], self.options[node][0])[0] if self.options[node] else 0
            rest &= ~(skips | 1 << node)
        return _Tally({length: 1}, {})


def _options(node: Node) -> tuple[int, ...]:
    """The answers that are counted; none for a node that is no decision."""
    match node:
        case Ask(options=options):
            return tuple(range(len(options)))
        case Loop(last=False):
            return (0, 1)
        case Look(jump=jump) if jump is not None and not jump.undoes:
            return (0, 1)
        case Do() | Look() | Bar() | Loop() | End():
            return ()


def _add(done: Lengths, ended: Lengths, tally: _Tally, more: int) -> None:
    for total, part in ((done, tally.done), (ended, tally.ended)):
        for length, number in part.items():
            total[length + more] = total.get(length + more, 0) + number


def _beside(one: _Tally, other: _Tally) -> _Tally:
    """Every way to mix an order of each; neither ends the run."""
    mixed: Lengths = {}
    for here, number in one.done.items():
        for there, more in other.done.items():
            mixed[here + there] = mixed.get(here + there, 0) + number * more * comb(here + there, here)
    return _Tally(mixed, {})


def _in_turn(one: _Tally, other: _Tally) -> _Tally:
    """An order of one, then an order of the other unless the run has ended before."""
    done: Lengths = {}
    ended = dict(one.ended)
    for here, number in one.done.items():
        for total, part in ((done, other.done), (ended, other.ended)):
            for there, more in part.items():
                total[here + there] = total.get(here + there, 0) + number * more
    return _Tally(done, ended)
