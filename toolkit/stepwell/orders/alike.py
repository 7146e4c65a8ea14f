"""What two programs have in common, so that what was searched of the one need not be searched again of the other.

Of a changed program two parts are known once the program as it was has been searched to its end:

- the beginning. Until something is settled that the difference *touches*, both take the same moves to the same places;
- the rest. Once all that differs is settled, a place of the changed program at which the same is left to do, in the same
  state, goes on as that place of the program as it was.

Nodes are alike if they say the same; the masks that they carry are compared by what the indices stand for. What is alike
stands in the same order in both. Nothing is said of programs in which something may be taken back, for there a settled node
does not stay settled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stepwell.orders.control import Control
from stepwell.orders.program import Ask, Do, End, Look, Loop, Node, Program, bits, skipping, undoing

_MOST = 100
"""Where more nodes than this lie between the first and the last difference, all of them count as different."""

Piece = tuple[int, int, int]
"""A mask of nodes that are numbered alike in both programs but for one shift: mask, left, right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """``touched``: in the old program, and in the new one. ``begins`` False: the two differ from the start on.

    The rest is alike once the ``first`` (nodes of the new program) are settled and, for each of the ``pairs``, the one node
    is settled or all of the others are. Then all of ``gone``, which only the old program has, count as settled.
    """

    touched_old: int
    touched_new: int
    begins: bool
    first: int
    pairs: tuple[tuple[int, int], ...]
    gone: int
    to_old: tuple[Piece, ...]
    to_new: tuple[Piece, ...]

    def then(self, mask: int) -> int | None:
        """The mask of the old program, at a place that is known to it; None if it may not be."""
        if self.begins and not mask & self.touched_new:
            return _moved(mask, self.to_old)
        if self.first & ~mask:
            return None
        for one, others in self.pairs:
            if others & ~mask and not mask & one:
                return None
        return _moved(mask, self.to_old) | self.gone

    def now(self, mask: int) -> int:
        """The mask of the new program at a place of the beginning."""
        return _moved(mask, self.to_new)


def alike(old: Program, was: Control, new: Program, now: Control) -> Alike | None:
    """What is common to two programs, given with their controls; None where nothing is said."""
    if any(undoing(node) for program in (old, new) for node in program.nodes):
        return None
    return _Comparing(old, was, new, now).alike()


class _Comparing:
    """Two programs and which of their nodes (old, new) say the same."""

    def __init__(self, old: Program, was: Control, new: Program, now: Control) -> None:
        self.old, self.was, self.new, self.now = old, was, new, now
        self.start, self.pairs = _matched(list(map(_bare, old.nodes)), list(map(_bare, new.nodes)))
        self.to_new = _pieces(self.pairs)
        self.to_old = tuple((_moved(mask, ((mask, left, right),)), right, left) for mask, left, right in self.to_new)
        self.gone = old.full & ~_moved(new.full, self.to_old)
        self.come = new.full & ~_moved(old.full, self.to_new)

    def alike(self) -> Alike:
        first, waits = self.come, []
        differ_old, differ_new = self.gone, self.come
        sorts = self._sorts()
        for before, after in self.pairs:
            was, now = self.old.covers[before], self.new.covers[after]
            covers = 0 if was == now and now < 1 << self.start else self._differ(was, now)
            masks = list(map(self._differ, _masks(self.old.nodes[before]), _masks(self.new.nodes[after])))
            if any(masks) or sorts >> after & 1:
                first |= 1 << after
            elif covers:
                waits.append((1 << after, covers))
            elif covers == 0 and None not in masks:
                continue
            differ_old |= 1 << before
            differ_new |= 1 << after
        touched_old, touched_new = self._touched(differ_old, differ_new)
        in_step = not (self.was.start().mask & touched_old or self.now.start().mask & touched_new)
        return Alike(
            touched_old=touched_old,
            touched_new=touched_new,
            begins=in_step and all(self.new.covers[node] for node in bits(differ_new)),
            first=first,
            pairs=tuple(waits),
            gone=self.gone,
            to_old=self.to_old,
            to_new=self.to_new,
        )

    def _differ(self, before: int, after: int) -> int | None:
        """The nodes (of the new program) in only one of two masks; None if they differ only in what has no counterpart."""
        return (_moved(before, self.to_new) ^ (after & ~self.come)) or (
            None if before & self.gone or after & self.come else 0
        )

    def _sorts(self) -> int:
        """The nodes of the new program which the search treats in another way than their counterparts."""
        return (
            (_moved(self.was.neutral, self.to_new) ^ self.now.neutral)
            | (_moved(self.was.free, self.to_new) ^ self.now.free)
            | (_moved(self.was.ends, self.to_new) ^ self.now.ends)
        ) & ~self.come

    def _touched(self, old: int, new: int) -> tuple[int, int]:
        """What differs, and all that may make it ready or settle it: what it needs, what skips any of it, and what is
        passed by itself and makes ready what is touched."""
        for node in bits(old):
            old |= self.old.covers[node]
        for node in bits(new):
            new |= self.new.covers[node]
        each = ((before, after, skipping(self.new.nodes[after])) for before, after in self.pairs)
        skips = [one for one in each if one[2]]
        while True:
            then_old, then_new = old | _moved(new, self.to_old), new | _moved(old, self.to_new)
            for before, after, masks in skips:
                if any(mask & then_new for mask in masks):
                    then_old, then_new = then_old | 1 << before, then_new | 1 << after
            for node in bits(then_new & self.now.neutral):
                then_new |= self.new.covers[node]
            for node in bits(then_old & self.was.neutral):
                then_old |= self.old.covers[node]
            if (then_old, then_new) == (old, new):
                return old, new
            old, new = then_old, then_new


def _bare(node: Node) -> object:
    """What a node says, without masks."""
    match node:
        case Do():
            return node
        case Ask(options=options):
            return Ask, node.name, node.who, node.optional, tuple((one.label, one.guard) for one in options)
        case Loop():
            return Loop, node.repeat, node.until, node.round, node.last
        case End():
            return End, node.name, node.label, node.card, node.bare
        case Look(jump=jump) if jump is not None:
            return Look, node.step, node.who, node.expects, node.conditions, node.otherwise, jump.step
    return node


def _masks(node: Node) -> tuple[int, ...]:
    if isinstance(node, Do):
        return ()
    return (node.own,) if isinstance(node, End) else skipping(node)


def _matched(old: Sequence[object], new: Sequence[object]) -> tuple[int, list[tuple[int, int]]]:
    """How many are equal from the start on, and pairs of equal nodes that rise in both: as many as there can be, if the
    difference is not too long."""
    start, most = 0, min(len(old), len(new))
    while start < most and _same(old[start], new[start]):
        start += 1
    end = 0
    while end < most - start and _same(old[-1 - end], new[-1 - end]):
        end += 1
    between = _longest(old[start : len(old) - end], new[start : len(new) - end])
    return start, [
        *((at, at) for at in range(start)),
        *((start + before, start + after) for before, after in between),
        *((len(old) - end + at, len(new) - end + at) for at in range(end)),
    ]


def _same(one: object, other: object) -> bool:
    # Variants of a body share most of their nodes, and to compare two as values takes longer.
    return one is other or one == other


def _longest(old: Sequence[object], new: Sequence[object]) -> list[tuple[int, int]]:
    """The longest common subsequence, as pairs of indices."""
    if not old or not new or max(len(old), len(new)) > _MOST:
        return []
    same = [[_same(one, other) for other in new] for one in old]
    best = [[0] * (len(new) + 1) for _ in range(len(old) + 1)]
    for before in range(len(old) - 1, -1, -1):
        row, below = best[before], best[before + 1]
        for after in range(len(new) - 1, -1, -1):
            row[after] = 1 + below[after + 1] if same[before][after] else max(below[after], row[after + 1])
    found: list[tuple[int, int]] = []
    before = after = 0
    while before < len(old) and after < len(new):
        if same[before][after]:
            found.append((before, after))
            before, after = before + 1, after + 1
        elif best[before + 1][after] >= best[before][after + 1]:
            before += 1
        else:
            after += 1
    return found


def _pieces(pairs: Sequence[tuple[int, int]]) -> tuple[Piece, ...]:
    """How a mask of the first program becomes one of the second."""
    masks: dict[int, int] = {}
    for before, after in pairs:
        masks[after - before] = masks.get(after - before, 0) | 1 << before
    return tuple((mask, max(shift, 0), max(-shift, 0)) for shift, mask in masks.items())


def _moved(mask: int, pieces: tuple[Piece, ...]) -> int:
    found = 0
    for piece, left, right in pieces:
        found |= (mask & piece) << left >> right
    return found
