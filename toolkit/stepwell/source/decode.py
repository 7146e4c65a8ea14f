"""From bytes to text that is safe to parse and to print."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right

from stepwell.diagnostics.span import Span
from stepwell.source import faults
from stepwell.source.notes import Notes

MOST_BYTES = 1024 * 1024
_SHOWN = 10
"""Places per file that are reported for one kind of bad character."""

_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")

FORBIDDEN = re.compile(
    "["
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"
    "\xad\u061c\u06dd\u070f\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff0-\ufffb\ufffe\uffff"
    "\ud800-\udfff\ue000-\uf8ff\U000e0000-\U000e00ff\U000e01f0-\U000e0fff\U000f0000-\U0010ffff"
    "]"
)
"""Control characters, invisible and direction-changing ones, private fonts, and what is no character at all."""

_BIDIRECTIONAL = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def decode(data: bytes, notes: Notes) -> str | None:
    """The text of a file with every bad character noted and replaced, or None if it is no text at all.

    Line ends become newlines; a byte order mark at the start is dropped. Replacements are one character wide, so
    columns stay right.
    """
    if len(data) > MOST_BYTES:
        notes.add(
            faults.FILE_TOO_LARGE,
            notes.top(),
            f"The file has {len(data):,} bytes; a procedure never needs more than {MOST_BYTES:,}.",
            "Look whether this is the right file; keep pictures and long documents elsewhere.",
        )
        return None
    if data.startswith(_UTF16_MARKS) or (b"\x00" in data[:400] and data[:400].count(b"\x00") * 3 > len(data[:400])):
        notes.add(
            faults.NOT_UTF8,
            notes.top(),
            "The file is saved as UTF-16 (some editors call it `Unicode`), or it is not a text file.",
            "In your editor choose Save as, and UTF-8 as the encoding.",
        )
        return None
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        text = data.decode("utf-8", errors="replace")
        notes.add(
            faults.NOT_UTF8,
            _after(notes.path, data[: error.start].decode("utf-8")),
            f"The byte {data[error.start]:#04x} here is not UTF-8; the file was saved in another encoding.",
            "In your editor choose Save as, and UTF-8 as the encoding.",
        )
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    if FORBIDDEN.search(text):
        text = _without_forbidden(text, notes)
    return _without_tabs(text, notes) if "\t" in text else text


def _without_forbidden(text: str, notes: Notes) -> str:
    found = list(FORBIDDEN.finditer(text))
    starts = _line_starts(text)
    for match in found[:_SHOWN]:
        more = len(found) - _SHOWN if match is found[min(len(found), _SHOWN) - 1] else 0
        tail = f" There are {more} more such characters." if more > 0 else ""
        notes.add(
            faults.FORBIDDEN_CHARACTER, _at(notes.path, starts, match.start()), described(match[0]) + tail, MEND_CHARACTER
        )
    return FORBIDDEN.sub("\ufffd", text)


MEND_CHARACTER = "Delete it and type the words again; it often comes along when text is pasted."


def described(character: str) -> str:
    """A sentence on a forbidden character."""
    name = f"U+{ord(character):04X} {unicodedata.name(character, '')}".strip()
    if character in _BIDIRECTIONAL:
        return f"{name}: this character turns the direction of the text, so the card would not show what is written."
    if unicodedata.category(character) == "Co":
        return f"{name}: this character exists only in one private font and would print as an empty box."
    return f"{name}: this character can't be seen on a card."


def _without_tabs(text: str, notes: Notes) -> str:
    lines = [number for number, line in enumerate(text.split("\n"), 1) if "\t" in line]
    first = text.split("\n")[lines[0] - 1].index("\t") + 1
    more = f" So have {len(lines) - 1} more lines." if len(lines) > 1 else ""
    notes.add(
        faults.TAB_CHARACTER,
        Span(path=notes.path, line=lines[0], column=first, end_line=lines[0], end_column=first + 1),
        f"This line has a tab in it.{more}",
        "Use spaces: two for each level. Most editors can turn tabs into spaces.",
    )
    return text.replace("\t", " ")


def _line_starts(text: str) -> list[int]:
    return [0, *(match.end() for match in re.finditer("\n", text))]


def _at(path: str, starts: list[int], offset: int) -> Span:
    line = bisect_right(starts, offset)
    column = offset - starts[line - 1] + 1
    return Span(path=path, line=line, column=column, end_line=line, end_column=column + 1)


def _after(path: str, before: str) -> Span:
    before = before.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return _at(path, _line_starts(before), len(before))
