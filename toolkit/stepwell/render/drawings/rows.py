"""The rows of the two columns: which parts stand beside each other, and how high each row is.

Branches lead inwards, so at most one of the two columns has a branch in any row. The shorter column is stretched at its
longest tubing until both are level.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stepwell.model.rig import Part
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
LONGEST_STATE = {"tap": ": open to air"}


@dataclass(slots=True)
class Slot:
    """One row of a part. ``branch`` begins with the part after the column's own."""

    part: str
    branch: list[str] | None = None
    rises: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """What stands in a row, from the bottom upwards; an empty side goes on with the part below."""

    left: Slot | None
    right: Slot | None


class Stack:
    """Rows for one segment of the two columns (the main path, or what lies beyond its ends)."""

    def __init__(self, left: list[str], right: list[str], made: Skeleton, drawn: Drawn) -> None:
        self.parts = drawn.parts
        self.drawn = drawn
        self.made = made
        self.sides = (self._slots(left), self._slots(right))
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

    def heights(self, need: dict[str, float]) -> list[float]:
        """The height of every row; ``need`` is what a part's words take."""
        out = [
            max(self.drawn.frame.row, *(self._branch_height(slot) for slot in (row.left, row.right))) for row in self.rows
        ]
        for side in (_left, _right):
            spans: dict[str, list[int]] = {}
            last = ""
            for at, row in enumerate(self.rows):
                slot = side(row)
                last = last if slot is None else slot.part
                spans.setdefault(last, []).append(at)
            for part, rows in spans.items():
                missing = need.get(part, 0.0) - sum(out[at] for at in rows)
                for at in rows:
                    out[at] += max(0.0, missing) / len(rows)
        return out

    def _branch_height(self, slot: Slot | None) -> float:
        if slot is None or slot.branch is None:
            return 0.0
        rows = sum(len(self.branch_words(slot, name)) for name in flat_part(slot, self.parts))
        return self.branch_head(slot) + self.drawn.frame.below + LEADING * rows

    def branch_head(self, slot: Slot) -> float:
        """What the symbols of a branch need above its words; a clamp's stand out further than others."""
        clamped = any(self._kind(name) == "clamp" for name in flat_part(slot, self.parts))
        return max(self.drawn.frame.branch, CLAMP_HEAD if clamped else 0.0)

    def branch_width(self, slot: Slot) -> float:
        """Room for the words of a branch of this part."""
        body = self._kind(slot.part) in BODIES
        if not self.drawn.frame.both:
            return BODY_BRANCH_WIDTH if body else BRANCH_WIDTH
        # The pump head stands between the columns below, and reaches up into the lowest row.
        lowest = bool(self.rows) and (slot is self.rows[0].left or slot is self.rows[0].right)
        return self.drawn.frame.between / 2 - max(BODY_REACH if body else 20.0, HEAD_REACH if lowest else 0.0)

    def branch_words(self, slot: Slot, name: str) -> tuple[str, ...]:
        """The label of a part of a branch with room for its longest state behind it, wrapped."""
        if name in self.drawn.said:
            return self.drawn.lines(name, self.branch_width(slot))
        return wrap(self.drawn.label(name) + LONGEST_STATE.get(self._kind(name), ": shut"), self.branch_width(slot))


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
