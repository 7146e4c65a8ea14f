"""Commas inside braces: each ends a value, also where it was meant as part of a text or of a number."""

from __future__ import annotations

import re

from stepwell.source import faults
from stepwell.source.near import quote
from stepwell.source.nodes import Entry, Mapping, Node, Scalar
from stepwell.source.notes import Notes
from stepwell.source.scalars import resolve

_FRACTION = re.compile(r"[0-9]+(?:\s+\S+)?")
_CURLY = "„“”‟«»‚‘’"


def note_comma(entry: Entry, node: Mapping, notes: Notes) -> bool:
    """Note a key without a value that is the rest of the value before it; True if it is. A number is put together again."""
    value = entry.value
    if not (isinstance(value, Scalar) and value.plain and not value.text):
        return False
    keys = list(node.entries)
    at = keys.index(entry.key)
    before = node.entries[keys[at - 1]] if at else None
    first = before.value if before is not None else None
    number = _number(first, entry.key)
    if before is not None and isinstance(first, Scalar) and number:
        notes.add(
            faults.TEXT_CUT_BY_COMMA,
            entry.key_span,
            f"Inside braces a comma ends the value, so {quote(f'{first.text},{entry.key}')} is not one number.",
            f"Write a point: `{before.key}: {number}`.",
        )
        before.value = Scalar(text=number, value=resolve(number), plain=True, span=first.span)
        return True
    if " " not in entry.key:
        return False
    said = f"{first.text}, {entry.key}" if isinstance(first, Scalar) else entry.key
    whole = said.strip(f"{_CURLY} ")
    straight = " (straight ones)" if whole != said else ""
    example = f': `{before.key}: "{whole}"`' if before is not None and len(whole) <= 80 else ""
    notes.add(
        faults.TEXT_CUT_BY_COMMA,
        entry.key_span,
        f"Inside braces a comma ends the text, so {quote(entry.key)} is no part of it.",
        f"Put the whole text in quotes{straight}{example}.",
    )
    return True


def _number(first: Node | None, rest: str) -> str:
    """``6`` and ``35 mm`` as the number that was meant; empty where they are none."""
    whole = isinstance(first, Scalar) and first.plain and re.fullmatch(r"-?[0-9]+", first.text)
    return f"{first.text}.{rest}" if isinstance(first, Scalar) and whole and _FRACTION.fullmatch(rest) else ""
