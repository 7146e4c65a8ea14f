"""Simple temporal networks: moments, and how much may lie between two of them.

Source: R. Dechter, I. Meiri, J. Pearl, Temporal constraint networks, Artificial Intelligence 49 (1991) 61-95 (from memory).
The minimal network is that of the shortest ways in the graph of distances, found by the algorithm of Floyd and Warshall.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf


@dataclass(frozen=True, slots=True)
class Between:
    """``then`` comes at least ``least`` and at most ``most`` after ``first`` (any one unit; negative: before it)."""

    first: str
    then: str
    least: float = -inf
    most: float = inf


@dataclass(frozen=True, slots=True)
class Minimal:
    """The minimal network: the narrowest bounds that the others imply, each of them reached by some course of events."""

    distances: tuple[tuple[str, tuple[tuple[str, float], ...]], ...]

    def between(self, first: str, then: str) -> tuple[float, float]:
        """(least, most) time from one moment to another. KeyError if the network has no such moment."""
        table = {name: dict(row) for name, row in self.distances}
        return 0.0 - table[then][first], table[first][then]


def minimal(constraints: Iterable[Between]) -> Minimal | None:
    """The minimal network of all constraints together; None if no course of events meets them all."""
    given = tuple(constraints)
    points = tuple(dict.fromkeys(name for one in given for name in (one.first, one.then)))
    far = {first: {then: 0.0 if first == then else inf for then in points} for first in points}
    for one in given:
        far[one.first][one.then] = min(far[one.first][one.then], one.most)
        far[one.then][one.first] = min(far[one.then][one.first], -one.least)
    for middle in points:
        for first in points:
            for then in points:
                far[first][then] = min(far[first][then], far[first][middle] + far[middle][then])
    if any(far[point][point] < 0 for point in points):
        return None
    return Minimal(tuple((name, tuple(row.items())) for name, row in far.items()))
