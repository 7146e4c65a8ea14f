"""A date in a file."""

from __future__ import annotations

from datetime import date

from stepwell.source import faults
from stepwell.source.fields import Fields, described
from stepwell.source.near import quote
from stepwell.source.nodes import Scalar
from stepwell.source.scope import Scope


def read_date(fields: Fields, key: str, scope: Scope, example: str = "2026-10-01") -> date | None:
    """The date of a key as year-month-day; None if there is none or it can't be read, with a note."""
    entry = fields.entry(key)
    if entry is None:
        return None
    text = entry.value.text if isinstance(entry.value, Scalar) else ""
    try:
        if len(text) == 10:
            return date.fromisoformat(text)
    except ValueError:
        pass
    scope.notes.add(
        faults.MALFORMED_DATE,
        entry.value.span,
        f"{quote(key)} takes a date, but here is {described(entry.value)}.",
        f"Write year-month-day, for example `{key}: {example}`.",
    )
    return None
