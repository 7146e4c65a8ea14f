"""What is due as a calendar file (RFC 5545): one whole day for each thing, under a name that stays the same."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from stepwell.publish.due import Due

LONGEST = 75
"""Bytes of a line, after which it is folded (RFC 5545, 3.1)."""


def calendar_file(unit: str, things: Iterable[tuple[Due, str]], as_of: date, tool: str) -> bytes:
    """The file. ``things`` are what is due with the line that a calendar shows for it; those without a day are left out.

    The name of an entry is made from the unit's name, the sort and the key, so a later file moves the entry to its new day
    instead of adding another. The stamp is the day of the copy: the same input gives the same bytes.
    """
    head = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:-//Stepwell//{_text(tool)}//EN", "METHOD:PUBLISH"]
    body = [line for due, summary in things if due.day for line in _event(unit, due, summary, due.day, as_of)]
    return "".join(_folded(line) for line in (*head, *body, "END:VCALENDAR")).encode()


def _event(unit: str, due: Due, summary: str, day: date, as_of: date) -> Iterator[str]:
    name = hashlib.sha256("\0".join((unit, due.sort, due.key)).encode()).hexdigest()[:32]
    yield "BEGIN:VEVENT"
    yield f"UID:{name}@stepwell.invalid"
    yield f"DTSTAMP:{as_of:%Y%m%d}T000000Z"
    yield f"DTSTART;VALUE=DATE:{day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{day + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{_text(summary)}"
    yield f"DESCRIPTION:{_text(due.told)}"
    yield f"CATEGORIES:{due.sort.upper()}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _text(words: str) -> str:
    """A value of the type TEXT (RFC 5545, 3.3.11). Other control characters have no place in one."""
    told = words.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\r\n", "\n").replace("\n", "\\n")
    return "".join(sign for sign in told if sign.isprintable())


def _folded(line: str) -> str:
    """A line in pieces of at most 75 bytes, each after the first behind a blank; no sign is cut in two."""
    pieces, piece, size = [], "", 0
    for sign in line:
        width = len(sign.encode())
        if size + width > LONGEST:
            pieces.append(piece)
            piece, size = " ", 1
        piece, size = piece + sign, size + width
    return "\r\n".join((*pieces, piece)) + "\r\n"
