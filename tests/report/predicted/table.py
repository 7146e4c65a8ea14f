"""Reads the table of predictions: which change to which procedure must bring which findings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

TABLE = Path(__file__).parent / "predictions.yaml"
SORTS = ("hazard", "stopped", "redundant")
WORDS = {"drop": 1, "undo": 2, "late": 2, "early": 2, "swap": 2, "do": 2, "figure": 3, "trait": 2, "start": 2}
"""The words of a change, and how many values each takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One prediction. ``change`` is a tuple of (word, values) in the order in which they are made."""

    procedure: str
    what: str
    change: tuple[tuple[str, tuple[object, ...]], ...]
    sort: str
    found: frozenset[str]
    trap: str | None
    why: str | None


@cache
def rows() -> tuple[Row, ...]:
    """Every row of the table, in its order."""
    read = yaml.safe_load(TABLE.read_text(encoding="utf-8"))["rows"]
    return tuple(_row(one) for one in read)


def _row(one: Mapping[str, object]) -> Row:
    change, found = one["change"], one["found"]
    assert isinstance(change, list)
    assert isinstance(found, list)
    return Row(
        procedure=str(one["procedure"]),
        what=str(one["what"]),
        change=tuple(_change(single) for single in change),
        sort=str(one["sort"]),
        found=frozenset(found),
        trap=str(one["trap"]) if "trap" in one else None,
        why=str(one["why"]) if "why" in one else None,
    )


def _change(single: Mapping[str, object]) -> tuple[str, tuple[object, ...]]:
    ((word, value),) = single.items()
    return word, tuple(value) if isinstance(value, list) else (value,)
