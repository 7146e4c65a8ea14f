"""The rows of the two columns: which parts stand beside each other, and how high each row is.

Branches lead inwards, so at most one of the two columns has a branch in any row. The shorter column is stretched at its
longest tubing until both are level.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from stepwell.model.rig import Part
from stepwell.render.drawings.labels import Label, lacking
from stepwell.render.drawings.pairing import Slot, paired
from stepwell.render.drawings.skeleton import VESSELS, Skeleton
from stepwell.render.drawings.type_size import LEADING, wrap

if TYPE_CHECKING:
    from stepwell.render.drawings.columns import Drawn

BRANCH_WIDTH, BODY_BRANCH_WIDTH = 152.0, 104.0
"""Room for the words of a branch; a body reaches further inwards than a tube does."""
CLAMP_HEAD = 40.0
HEAD_REACH = 56.0
BODY_REACH = 62.0
"""How far the words of a branch of a body are from its column."""
BODIES = ("oxygenator", "bag", "pump-head", *VESSELS)
STEP = 40.0
"""From one symbol of a branch to the next."""
OFFSET, NEXT = 76.0, 32.0
"""From a column to the tubing that rises from it, and from there to the next."""
BODY_EDGE = 50.0
"""How far a body reaches inwards from its column."""
RISER_EDGE = 14.0
"""From the middle of tubing that rises to words beside it."""
BEHIND = {"cap": 27.0, "vent": 27.0, "tap": 19.0, "stub": 19.0}
"""From the middle of the last symbol of a branch to words behind it, whatever its state."""
_MOST_STRETCHES = 60
"""Where labels then still have no place, they lie on each other, and the form is not taken."""
BESIDE_CLAMP, BESIDE_OTHERS = 44.0, 34.0
"""The least height of a row whose words stand beside its symbols."""


@dataclass(frozen=True, slots=True)
class Row:
    """What stands in a row, from the bottom upwards; an empty side goes on with the part below."""

    left: Slot | None
    right: Slot | None


class Stack:
    """Rows for one segment of the two columns (the main path, or what lies beyond its ends)."""

    def __init__(
        self,
        left: list[str],
        right: list[str],
        made: Skeleton,
        drawn: Drawn,
        need: dict[str, float],
        room: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        """``need`` is what a part's words take; ``room`` how far labels may reach below the rows and above them."""
        self.parts = drawn.parts
        self.drawn = drawn
        self.made = made
        self.need = need
        self.room = room
        self.lows: dict[int, float] = {}
        self.sides = (self._slots(left), self._slots(right))
        if drawn.frame.aside:
            self.rows = [Row(*pair) for pair in paired(self.sides, self)]
            return
        for _ in range(6):
            self.rows = self._merged()
            short = [sum(1 for row in self.rows if side(row) is not None) for side in (_left, _right)]
            missing = short[0] - short[1]
            if abs(missing) < 1 or not all(self.sides):
                break
            self._stretch(self.sides[1 if missing > 0 else 0], abs(missing))

    def _slots(self, names: list[str]) -> list[Slot]:
        out: list[Slot] = []
        for name in names:
            stubs = [Slot(name, branch) for branch in self.made.stubs.get(name, ())]
            risers = [Slot(name, branch, True) for branch in self.made.risers.get(name, ())]
            out += [*stubs, *risers] or [Slot(name)]
        return out

    def _stretch(self, slots: list[Slot], number: int) -> None:
        """Add rows to tubing, the longest first."""
        lines = [at for at, slot in enumerate(slots) if self._kind(slot.part) in ("line", "cannula") and slot.branch is None]
        lines = lines or [len(slots) - 1]
        chosen = sorted(lines, key=lambda at: -self._length(slots[at].part))
        for at in sorted((chosen[n % len(chosen)] for n in range(number)), reverse=True):
            slots.insert(at, Slot(slots[at].part))

    def _kind(self, name: str) -> str:
        part = self.parts.get(name)
        return "" if part is None else part.kind

    def _length(self, name: str) -> float:
        part = self.parts.get(name)
        figure = None if part is None else part.figure("length")
        return 0.0 if figure is None else float(figure.value)

    def _merged(self) -> list[Row]:
        left, right = list(self.sides[0]), list(self.sides[1])
        rows: list[Row] = []
        while left or right:
            if self._clash(left, right):
                if len(left) >= len(right):
                    rows.append(Row(left.pop(0), None))
                else:
                    rows.append(Row(None, right.pop(0)))
                continue
            rows.append(Row(left.pop(0) if left else None, right.pop(0) if right else None))
        return rows

    def _clash(self, left: list[Slot], right: list[Slot]) -> bool:
        if self.drawn.frame.both or not (left and right):
            return False
        return left[0].branch is not None and right[0].branch is not None

    def heights(self) -> list[float]:
        """The height of every row."""
        out = [max(self.least(slot) for slot in (row.left, row.right)) for row in self.rows]
        if self.drawn.frame.aside:
            return self._spread(out)
        for side in (_left, _right):
            spans: dict[str, list[int]] = {}
            last = ""
            for at, row in enumerate(self.rows):
                slot = side(row)
                last = last if slot is None else slot.part
                spans.setdefault(last, []).append(at)
            for part, rows in spans.items():
                missing = self.need.get(part, 0.0) - sum(out[at] for at in rows)
                for at in rows:
                    out[at] += max(0.0, missing) / len(rows)
        return out

    def _spread(self, out: list[float]) -> list[float]:
        """Rows made higher until the labels of both columns have a place."""
        for side in (0, 1):
            spans = self._spans(side)
            for _ in range(_MOST_STRETCHES):
                found = lacking(self._labels(spans, out), -self.room[0], sum(out) + self.room[1])
                if found is None:
                    break
                out[spans[found[0]][1]] += max(found[1], 1.0)
        return out

    def labels(self, side: int, heights: list[float]) -> tuple[list[str], list[Label]]:
        """The parts of a column that something is said of; and their labels as high above the bottom as they are."""
        spans = self._spans(side)
        return [name for name, _, _ in spans], self._labels(spans, heights)

    def _spans(self, side: int) -> list[tuple[str, int, int]]:
        """The parts of a column that something is said of, each with its first and last row."""
        spans: list[tuple[str, int, int]] = []
        for at, row in enumerate(self.rows):
            slot = row.right if side else row.left
            name = slot.part if slot is not None else (spans[-1][0] if spans else "")
            if spans and spans[-1][0] == name:
                spans[-1] = (name, spans[-1][1], at)
            elif name:
                spans.append((name, at, at))
        return [one for one in spans if not self.drawn.unsaid(one[0])]

    def _labels(self, spans: list[tuple[str, int, int]], heights: list[float]) -> list[Label]:
        up = [0.0, *accumulate(heights)]
        return [self._label(name, up[first], up[last + 1]) for name, first, last in spans]

    def _label(self, name: str, low: float, top: float) -> Label:
        high = LEADING * len(self.drawn.lines(name, self.drawn.frame.outer))
        if self._kind(name) in ("line", "cannula"):
            return Label(low, top, high)
        half = 14.0 if self._kind(name) in BODIES else 0.0
        return Label((low + top) / 2 - half, (low + top) / 2 + half, high)

    def least(self, slot: Slot | None) -> float:
        """The least height of a row with this slot, not counting the words outside of the column."""
        frame = self.drawn.frame
        if slot is None:
            return 0.0 if frame.aside else frame.row
        if id(slot) not in self.lows:
            self.lows[id(slot)] = self._least(slot)
        return self.lows[id(slot)]

    def _least(self, slot: Slot) -> float:
        frame = self.drawn.frame
        if slot.branch is None:
            if frame.aside and self._kind(slot.part) in BODIES:
                return frame.body
            tubing = self._kind(slot.part) in ("line", "cannula") and self.drawn.unsaid(slot.part)
            return frame.thin if tubing else frame.row
        rows = self.branch_rows(slot)
        if frame.aside:
            body = frame.body if self._kind(slot.part) in BODIES else frame.row
            return max(body, LEADING * rows + 6, BESIDE_CLAMP if self._clamped(slot) else BESIDE_OTHERS)
        return max(frame.row, self.branch_head(slot) + frame.below + LEADING * rows)

    def takes(self, slot: Slot) -> float:
        """How high a row with this slot is by itself."""
        return self.least(slot)

    def stiff(self, slot: Slot) -> float:
        """What it costs to draw a part longer by a row: least for the longest tubing."""
        if self._kind(slot.part) not in ("line", "cannula"):
            return 1.0
        longest = max(self._length(one.part) for side in self.sides for one in side)
        return 0.1 - 0.1 * self._length(slot.part) / longest if longest else 0.1

    def branch_rows(self, slot: Slot) -> int:
        """The lines of words of a branch."""
        return sum(len(self.branch_words(slot, name)) for name in flat_part(slot, self.parts))

    def _clamped(self, slot: Slot) -> bool:
        return any(self._kind(name) == "clamp" for name in flat_part(slot, self.parts))

    def branch_head(self, slot: Slot) -> float:
        """What the symbols of a branch need above its words; a clamp's stand out further than others."""
        return max(self.drawn.frame.branch, CLAMP_HEAD if self._clamped(slot) else 0.0)

    def branch_start(self, slot: Slot) -> float:
        """How far inwards the words of a branch begin that stand beside its symbols: behind the last, or behind the
        tubing that turns up there."""
        body = self._kind(slot.part) in BODIES
        names = flat_part(slot, self.parts)
        last = first_symbol(not body) + STEP * max(0, len(names) - 1)
        if slot.rises:
            return max(self._risers(self._side(slot)) - (BODY_EDGE if body else 0.0), last + 24) + RISER_EDGE
        return last + BEHIND.get(self._kind(names[-1]) if names else "", 16.0)

    def _side(self, slot: Slot) -> int:
        return 0 if any(slot is one for one in self.sides[0]) else 1

    def _risers(self, side: int) -> float:
        """How far inwards the tubing reaches that rises from a column; 0 if none does."""
        number = sum(slot.rises for slot in self.sides[side])
        return OFFSET + NEXT * (number - 1) if number else 0.0

    def _reach(self, side: int) -> float:
        """How far inwards a column reaches with whatever stands on it."""
        bodies = any(self._kind(slot.part) in BODIES for slot in self.sides[side])
        return max(16.0, BODY_REACH - 2 if bodies else 0.0, self._risers(side) + RISER_EDGE if self._risers(side) else 0.0)

    def branch_width(self, slot: Slot) -> float:
        """Room for the words of a branch of this part."""
        body = self._kind(slot.part) in BODIES
        if self.drawn.frame.aside:
            start = self.branch_start(slot) + (BODY_EDGE if body else 0.0)
            return self.drawn.frame.between - start - self._reach(1 - self._side(slot))
        if not self.drawn.frame.both:
            return BODY_BRANCH_WIDTH if body else BRANCH_WIDTH
        # The pump head stands between the columns below, and reaches up into the lowest row.
        lowest = bool(self.rows) and (slot is self.rows[0].left or slot is self.rows[0].right)
        return self.drawn.frame.between / 2 - max(BODY_REACH if body else 20.0, HEAD_REACH if lowest else 0.0)

    def branch_words(self, slot: Slot, name: str) -> tuple[str, ...]:
        """The label of a part of a branch with room for its longest state behind it, wrapped."""
        if name in self.drawn.said:
            return self.drawn.lines(name, self.branch_width(slot))
        words = f"{self.drawn.label(name)}: {self.drawn.longest(name)}"
        return wrap(words, self.branch_width(slot), hyphens=self.drawn.hyphens)


def first_symbol(tube: bool) -> float:
    """From the edge of a column to the middle of the first symbol of a branch."""
    return 34.0 if tube else 16.0


def flat_part(slot: Slot, parts: dict[str, Part]) -> list[str]:
    """The parts of a branch that lie in its row: all of a stub, a riser up to its first tubing; the open air is none."""
    flat: list[str] = []
    for name in slot.branch or ():
        part = parts.get(name)
        if slot.rises and (part is None or part.kind in ("line", "end", "bag")):
            break
        if part is not None:
            flat.append(name)
    return flat


def _left(row: Row) -> Slot | None:
    return row.left


def _right(row: Row) -> Slot | None:
    return row.right
