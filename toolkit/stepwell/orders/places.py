"""The places that a search has met, numbered: where each was reached from, and where it leads."""

from __future__ import annotations

from array import array
from collections.abc import Iterable

from stepwell.model.tri import Tri
from stepwell.orders.control import Control
from stepwell.orders.program import Do, Program, bits, turn
from stepwell.orders.searched import Move, Run

NODE_BITS = 20
TAKEN = int(Tri.YES) << NODE_BITS
"""Added to a node's index: the packed move of an action."""


def packed(node: int, option: int, truth: Tri) -> int:
    """A move as one int."""
    return (option << 2 | truth) << NODE_BITS | node


def unpacked(move: int) -> Move:
    """The move again."""
    rest = move >> NODE_BITS
    return Move(move & ((1 << NODE_BITS) - 1), rest >> 2, Tri(rest & 3))


class Places:
    """Per place: key (state number and mask, packed), ready nodes, parent, move and length of the shortest way so far.

    The parent of a start is -1 minus its index. Places that have been expanded are listed in ``order``; their
    successors stand in ``targets`` from the position in ``firsts`` on.
    """

    __slots__ = ("expanded", "firsts", "keys", "lengths", "moves", "order", "parents", "ready", "targets")

    def __init__(self) -> None:
        self.keys: list[int] = []
        self.ready: list[int] = []
        self.parents, self.moves, self.lengths = array("q"), array("q"), array("l")
        self.expanded = bytearray()
        self.order, self.firsts, self.targets = array("q"), array("q"), array("q")

    def add(self, key: int, ready: int, parent: int, move: int, length: int) -> None:
        """One more place."""
        self.keys.append(key)
        self.ready.append(ready)
        self.parents.append(parent)
        self.moves.append(move)
        self.lengths.append(length)
        self.expanded.append(0)

    def way(self, program: Program, control: Control, place: int, last: int = -1) -> Run:
        """The run to a place and, from there, the packed move ``last``; neutral nodes stand where they were passed."""
        length = self.lengths[place]
        moves: list[Move] = []
        while place >= 0:
            moves.append(unpacked(self.moves[place]))
            place = self.parents[place]
        moves.pop()  # the start was not reached by a move
        moves.reverse()
        run: list[Move] = []
        spot = control.start()
        run.extend(Move(index) for index in bits(spot.mask))
        for move in moves:
            skips, undoes = turn(program.nodes[move.node], move.option)
            then = control.turned(*spot, move.node, skips, undoes)
            run.append(move)
            run.extend(Move(index) for index in bits(then.mask & ~((spot.mask | 1 << move.node | skips) & ~undoes)))
            spot = then
        if last >= 0:
            run.append(unpacked(last))
            length += isinstance(program.nodes[run[-1].node], Do)
        return Run(-1 - place, tuple(run), length)

    def leading_to(self, goals: Iterable[int]) -> bytearray:
        """Per place 1 if one of the goals can be reached from it."""
        found = bytearray(len(self.keys))
        heads = array("q", bytes(8 * (len(self.keys) + 1)))
        for to in self.targets:
            heads[to + 1] += 1
        for place in range(len(self.keys)):
            heads[place + 1] += heads[place]
        sources, free = array("q", bytes(8 * len(self.targets))), array("q", heads)
        for position, place in enumerate(self.order):
            stop = self.firsts[position + 1] if position + 1 < len(self.firsts) else len(self.targets)
            for to in self.targets[self.firsts[position] : stop]:
                sources[free[to]] = place
                free[to] += 1
        rest = list(goals)
        while rest:
            place = rest.pop()
            if not found[place]:
                found[place] = 1
                rest.extend(sources[heads[place] : heads[place + 1]])
        return found

    def nearest(self, places: Iterable[int]) -> int:
        """The one with the shortest way; the first of several."""
        return min(places, key=lambda place: (self.lengths[place], place))
