"""Optimal assignment of old to new, and the longest part of an order that stays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


def assign(scores: Mapping[tuple[int, int], float]) -> dict[int, int]:
    """The pairs with the greatest sum of scores (all positive), each side used at most once.

    Pairs without a score are not made. The graph falls into small groups, each solved by the Hungarian method
    (Kuhn 1955, Munkres 1957, from memory) in O(n^3).
    """
    found: dict[int, int] = {}
    for rows, columns in _groups(scores):
        if len(rows) == 1 and len(columns) == 1:
            found[rows[0]] = columns[0]
            continue
        found.update(_solve(rows, columns, scores))
    return found


def _groups(scores: Mapping[tuple[int, int], float]) -> list[tuple[list[int], list[int]]]:
    group: dict[tuple[str, int], tuple[str, int]] = {}

    def top(key: tuple[str, int]) -> tuple[str, int]:
        while group.setdefault(key, key) != key:
            group[key] = group[group[key]]
            key = group[key]
        return key

    for row, column in scores:
        group[top(("row", row))] = top(("column", column))
    found: dict[tuple[str, int], tuple[list[int], list[int]]] = {}
    for key in sorted(group):
        rows, columns = found.setdefault(top(key), ([], []))
        (rows if key[0] == "row" else columns).append(key[1])
    return list(found.values())


def _solve(rows: list[int], columns: list[int], scores: Mapping[tuple[int, int], float]) -> dict[int, int]:
    """One group. ``size`` columns of nothing are added, so that a row may stay alone at no cost."""
    size = len(rows)
    wide = len(columns) + size
    infinite = float("inf")
    potential_row, potential_column = [0.0] * (size + 1), [0.0] * (wide + 1)
    owner, way = [0] * (wide + 1), [0] * (wide + 1)

    def cost(row: int, column: int) -> float:
        if column > len(columns):
            return 0.0
        return -scores.get((rows[row - 1], columns[column - 1]), -1e9)

    for row in range(1, size + 1):
        owner[0] = row
        least, used, at = [infinite] * (wide + 1), [False] * (wide + 1), 0
        while True:
            used[at] = True
            here, delta, following = owner[at], infinite, 0
            for column in range(1, wide + 1):
                if used[column]:
                    continue
                reduced = cost(here, column) - potential_row[here] - potential_column[column]
                if reduced < least[column]:
                    least[column], way[column] = reduced, at
                if least[column] < delta:
                    delta, following = least[column], column
            for column in range(wide + 1):
                if used[column]:
                    potential_row[owner[column]] += delta
                    potential_column[column] -= delta
                else:
                    least[column] -= delta
            at = following
            if owner[at] == 0:
                break
        while at:
            owner[at] = owner[way[at]]
            at = way[at]
    return {rows[owner[at] - 1]: columns[at - 1] for at in range(1, len(columns) + 1) if owner[at]}


def staying(places: Sequence[Any], weights: Sequence[float]) -> frozenset[int]:
    """Indices of the heaviest increasing subsequence: what keeps its order, so that as little as possible moves."""
    best: list[float] = []
    back: list[int] = []
    for at, place in enumerate(places):
        weight, before = 0.0, -1
        for other in range(at):
            if places[other] < place and best[other] > weight:
                weight, before = best[other], other
        best.append(weight + weights[at])
        back.append(before)
    if not best:
        return frozenset()
    at = max(range(len(best)), key=lambda index: best[index])
    kept: list[int] = []
    while at >= 0:
        kept.append(at)
        at = back[at]
    return frozenset(kept)
