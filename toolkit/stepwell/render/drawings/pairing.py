"""Which rows of the two columns stand beside each other where each row shall be as low as it can be.

Two branches never share a row, because the words of each need the room between the columns. Among the pairings of rows
that keep the order of both columns the lowest is looked for; of equal ones, that in which long tubing is drawn long.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

ALONE, UNLIKE = 0.02, 6.0
"""What a row with one side costs besides its height, and what columns cost whose tops are not level."""


@dataclass(slots=True, eq=False)
class Slot:
    """One row of a part. ``branch`` begins with the part after the column's own."""

    part: str
    branch: list[str] | None = None
    rises: bool = False


class Measures(Protocol):
    """What is known of a row."""

    def takes(self, slot: Slot) -> float:
        """How high a row with this slot is by itself."""
        ...

    def stiff(self, slot: Slot) -> float:
        """From 0 for the longest tubing to 1 for what is not drawn longer: what it costs to stretch it by a row."""
        ...


Pair = tuple[Slot | None, Slot | None]


def paired(sides: tuple[list[Slot], list[Slot]], measures: Measures) -> list[Pair]:
    """The rows from the bottom upwards."""
    left, right = sides
    high = [[measures.takes(slot) for slot in side] for side in sides]
    stiff = [[measures.stiff(slot) for slot in side] for side in sides]

    def cost(i: int, j: int, a: int, b: int) -> float | None:
        """What the last row costs that takes ``a`` slots of the left column and ``b`` of the right; None if it can't be."""
        if a and b:
            both = left[i - 1].branch is not None and right[j - 1].branch is not None
            return None if both else max(high[0][i - 1], high[1][j - 1])
        side, at, number = (0, i, j) if a else (1, j, i)
        return high[side][at - 1] + ALONE + (stiff[1 - side][number - 1] if number else 0.5)

    best: dict[tuple[int, int], tuple[float, tuple[int, int]]] = {(0, 0): (0.0, (0, 0))}
    for i in range(len(left) + 1):
        for j in range(len(right) + 1):
            for a, b in ((1, 1), (1, 0), (0, 1)):
                if i < a or j < b:
                    continue
                more = cost(i, j, a, b)
                if more is None:
                    continue
                if (i, j) == (len(left), len(right)) and (a, b) != (1, 1):
                    more += UNLIKE
                whole = best[i - a, j - b][0] + more
                if (i, j) not in best or whole < best[i, j][0] - 1e-9:
                    best[i, j] = (whole, (a, b))
    rows: list[Pair] = []
    i, j = len(left), len(right)
    while (i, j) != (0, 0):
        a, b = best[i, j][1]
        rows.append((left[i - 1] if a else None, right[j - 1] if b else None))
        i, j = i - a, j - b
    return rows[::-1]
