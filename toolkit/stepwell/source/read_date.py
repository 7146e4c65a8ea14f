"""A date in a file."""

from __future__ import annotations

import re
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
        f"Write year-month-day, for example `{key}: {_as_said(text) or example}`.",
    )
    return None


_SAID = re.compile(r"([0-9]{1,2})\. ?([0-9]{1,2})\. ?([0-9]{4})")


def _as_said(text: str) -> str:
    """``31.03.2027`` as year-month-day; empty for what can't be told (with slashes, day and month are in doubt)."""
    found = _SAID.fullmatch(text.strip())
    try:
        return "" if found is None else date(int(found[3]), int(found[2]), int(found[1])).isoformat()
    except ValueError:
        return ""
