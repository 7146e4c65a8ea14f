"""What of a sheet in another language stands in English."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.language import ENGLISH, MARK
from stepwell.publish.canonical import Plain, plain_data
from stepwell.publish.sheet import Sheet


def texts_in_english(sheet: Sheet) -> int:
    """How many different texts of a sheet bear the mark of a translation that is missing or not confirmed."""
    return 0 if sheet.language == ENGLISH.code else len(set(_marked(plain_data(sheet))))


def _marked(value: Plain) -> Iterator[str]:
    if isinstance(value, str) and MARK in value:
        yield value
    elif isinstance(value, list):
        for item in value:
            yield from _marked(item)
    elif isinstance(value, dict):
        for item in value.values():
            yield from _marked(item)
