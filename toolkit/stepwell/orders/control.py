"""The control of a program: which nodes may be taken, and the mask after one of them. Knows no world."""

from __future__ import annotations

from typing import NamedTuple

from stepwell.orders.program import Ask, Bar, End, Look, Program, bits


class Spot(NamedTuple):
    """``mask``: the settled nodes. ``ready``: those that may be taken now."""

    mask: int
    ready: int


class Control:
    """Steps through a program.

    Two sorts of node are taken as soon as they are reached, and alone: *neutral* ones (readings, sights), and *free*
    decisions. They look at nothing, can always be taken and only take waiting away, so each can be moved forward in
    every run without changing the actions that are done. Those right before an end are left out: an end stops the
    others, so that it matters when it is reached.
    """

    def __init__(self, program: Program) -> None:
        self.full = program.full
        self.covers = program.covers
        heirs: list[list[int]] = [[] for _ in program.nodes]
        neutral = free = ends = closing = 0
        for index, node in enumerate(program.nodes):
            for other in bits(program.covers[index]):
                heirs[other].append(index)
            match node:
                case Look(neutral=True) | Bar(neutral=True):
                    neutral |= 1 << index
                case Ask(options=options) if options and all(option.guard is None for option in options):
                    free |= 1 << index
                case End(own=own):
                    ends |= 1 << index
                    closing |= own
        self.heirs = tuple(tuple(each) for each in heirs)
        self.neutral, self.free, self.ends = neutral & ~closing, free & ~closing, ends

    def start(self) -> Spot:
        """Before anything was done."""
        return self.anew(0)

    def anew(self, mask: int) -> Spot:
        """The spot of a mask, worked out from nothing."""
        ready = 0
        for index, cover in enumerate(self.covers):
            if not cover & ~mask and not mask >> index & 1:
                ready |= 1 << index
        return self._passed(mask, ready)

    def after(self, mask: int, ready: int, node: int) -> Spot:
        """After one ready node has been settled and nothing skipped."""
        bit = 1 << node
        mask |= bit
        ready ^= bit
        for heir in self.heirs[node]:
            if not self.covers[heir] & ~mask and not mask >> heir & 1:
                ready |= 1 << heir
        return self._passed(mask, ready) if ready & self.neutral else Spot(mask, ready)

    def turned(self, mask: int, ready: int, node: int, skips: int, undoes: int) -> Spot:
        """After a decision: the node is settled, ``skips`` are skipped and ``undoes`` are taken back."""
        if not skips and not undoes:
            return self.after(mask, ready, node)
        return self.anew((mask | 1 << node | skips) & ~undoes)

    def expand(self, ready: int) -> tuple[int, ...]:
        """The nodes to take in a state with these ready nodes: the place for a reduction, were one wanted."""
        free = ready & self.free
        return ((free & -free).bit_length() - 1,) if free else bits(ready)

    def _passed(self, mask: int, ready: int) -> Spot:
        while passed := ready & self.neutral:
            node = (passed & -passed).bit_length() - 1
            mask |= 1 << node
            ready ^= 1 << node
            for heir in self.heirs[node]:
                if not self.covers[heir] & ~mask and not mask >> heir & 1:
                    ready |= 1 << heir
        return Spot(mask, ready)
