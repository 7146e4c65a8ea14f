"""Facts that hang on a few variables that only verbs write, found by looking at what their evaluation looks at.

A fact looks at a state only by index, and what it looks at next depends on nothing but what it has seen. So it is asked of
a state of which nothing is known; where it looks, each value that the variable can have is tried in turn. What comes out
is the whole fact as a table. A fact that looks at anything else, or at too much, is not plain, and nothing is said of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from stepwell.circuit.fact_table import fact
from stepwell.circuit.layout import Layout
from stepwell.circuit.view import View
from stepwell.model.tri import Tri

MOST_LOOKS = 60
MOST_ROWS = 64
"""So many variables may be looked at for one answer, and so many answers a table may have."""


class Row(NamedTuple):
    """Where the variables have these values, the fact is so true. Variables that have but one value are left out."""

    values: tuple[tuple[int, int], ...]
    truth: Tri


class _LookError(Exception):
    """The evaluation looks at a variable of which nothing is known yet."""

    def __init__(self, index: int) -> None:
        super().__init__(index)
        self.index = index


class _NotPlainError(Exception):
    """The evaluation looks at something else, or at too much."""


class _Half:
    """A state of which some variables are known; it can do nothing but be indexed."""

    __slots__ = ("known",)

    def __init__(self, known: dict[int, int]) -> None:
        self.known = known

    def __getitem__(self, index: int) -> int:
        if index not in self.known:
            raise _LookError(index)
        return self.known[index]

    def __iter__(self) -> None:  # type: ignore[override,unused-ignore]  # else indexing would make it a sequence
        raise _NotPlainError


def plain(layout: Layout, name: str, args: tuple[str, ...], values: Mapping[int, frozenset[int]]) -> tuple[Row, ...] | None:
    """The table of a fact, or None if it is not plain. ``values``: what each variable that only verbs write can be."""
    entry = fact(name)
    if entry is None or entry.passing:
        return None
    rows: list[Row] = []

    def look(known: dict[int, int]) -> None:
        if len(known) > MOST_LOOKS or len(rows) >= MOST_ROWS:
            raise _NotPlainError
        try:
            truth = entry.evaluate(View(layout, _Half(known)), args)  # type: ignore[arg-type]  # only indexed
        except _LookError as unknown:
            if unknown.index not in values:
                raise _NotPlainError from None
            for value in sorted(values[unknown.index]):
                look({**known, unknown.index: value})
            return
        several = ((variable, value) for variable, value in sorted(known.items()) if len(values[variable]) > 1)
        rows.append(Row(tuple(several), truth))

    try:
        look({})
    except _NotPlainError:
        return None
    return tuple(rows)
