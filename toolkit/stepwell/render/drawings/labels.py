"""Labels in a column beside their symbols: each as near to its own as the others allow, and always level with it.

Heights go upwards here. A label that is higher than the row of its symbol may reach into the rows next to it, where
nothing is said; its symbol then is level with one of its lines, though not with the middle one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

GAP = 5.0
"""Left free between two labels."""
LEVEL = 9.0
"""A symbol is at least as far from both ends of its label: the middle of a line."""


@dataclass(frozen=True, slots=True)
class Label:
    """``high`` units high, for what lies between ``low`` and ``top``."""

    low: float
    top: float
    high: float

    @property
    def ideal(self) -> float:
        """Where it begins if its middle is that of its symbol."""
        return (self.low + self.top - self.high) / 2

    @property
    def least(self) -> float:
        """The lowest place for it to begin."""
        return self.low + min(LEVEL, self.high / 2) - self.high

    @property
    def most(self) -> float:
        """The highest place for it to begin."""
        return self.top - min(LEVEL, self.high / 2)


def lacking(labels: Sequence[Label], floor: float, ceiling: float) -> tuple[int, float] | None:
    """The first label from below that has no place between ``floor`` and ``ceiling``, and how much higher its symbol
    would have to be."""
    free = floor
    for at, label in enumerate(labels):
        begins = max(free, label.least)
        most = min(label.most, ceiling - label.high)
        if begins > most + 0.01:
            return at, begins - most
        free = begins + label.high + GAP
    return None


def placed(labels: Sequence[Label], floor: float, ceiling: float) -> tuple[float, ...]:
    """Where each begins: the least squares of the distances to their symbols, in their order and without overlaps."""
    least, most = _bounds(labels, floor, ceiling)
    before = [0.0]
    for label in labels:
        before.append(before[-1] + label.high + GAP)
    blocks: list[list[float]] = []
    for label, offset in zip(labels, before, strict=False):
        blocks.append([label.ideal - offset, 1.0])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            mean, number = blocks.pop()
            whole = blocks[-1][1] + number
            blocks[-1] = [(blocks[-1][0] * blocks[-1][1] + mean * number) / whole, whole]
    wanted = [mean for mean, number in blocks for _ in range(round(number))]
    return tuple(
        min(max(want + offset, low), high) for want, offset, low, high in zip(wanted, before, least, most, strict=False)
    )


def _bounds(labels: Sequence[Label], floor: float, ceiling: float) -> tuple[list[float], list[float]]:
    least: list[float] = []
    free = floor
    for label in labels:
        least.append(max(free, label.least))
        free = least[-1] + label.high + GAP
    most: list[float] = []
    limit = ceiling + GAP
    for label in reversed(labels):
        most.append(min(label.most, limit - label.high - GAP))
        limit = most[-1]
    return least, most[::-1]
