"""Breaking lines by what a terminal shows, and writing text in the characters that it has."""

from __future__ import annotations

import unicodedata
from functools import cache

_ASCII = {
    "–": "-", "—": "-", "−": "-", "‑": "-", "…": "...", "→": "->", "←": "<-", "·": "*", "•": "*",
    "×": "x", "÷": "/", "°": "deg ", "µ": "u", "μ": "u", "≥": ">=", "≤": "<=", "±": "+/-", "‘": "'",
    "’": "'", "“": '"', "”": '"', "«": '"', "»": '"', "„": '"', "ß": "ss", "æ": "ae", "Æ": "Ae",
    "ø": "o", "Ø": "O", "œ": "oe", "ł": "l", "Ł": "L", "đ": "d", "\u00a0": " ", "\u202f": " ",
    "\u2009": " ",
}  # fmt: skip


def columns(text: str) -> int:
    """How many columns ``text`` takes on a terminal: wide characters take two, combining marks none."""
    return sum(_columns(character) for character in text)


@cache
def _columns(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) == "Cf":
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def tame(text: str) -> str:
    """``text`` without control characters, so that a file can't move the cursor or colour the screen."""
    return "".join(" " if unicodedata.category(character) == "Cc" else character for character in text)


def plain_ascii(text: str) -> str:
    """``text`` for a terminal without UTF-8. What has no likeness becomes ``?``, so that a loss is seen."""
    out: list[str] = []
    for character in text:
        if character.isascii():
            out.append(character)
        elif character in _ASCII:
            out.append(_ASCII[character])
        elif not unicodedata.combining(character):
            out.append(unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode() or "?")
    return "".join(out)


def wrap(text: str, width: int, first: str = "", rest: str | None = None) -> tuple[str, ...]:
    """``text`` broken at blanks into lines of ``width`` columns, the first led by ``first`` and the others
    by ``rest``.

    ``rest`` is as many blanks as ``first`` is wide unless given. A single word that is too long stands
    whole on its line: a broken path or id could not be copied. No-break spaces keep a figure and its unit
    together.
    """
    rest = " " * columns(first) if rest is None else rest
    lines: list[str] = []
    line, bare = first, True
    for word in tame(text).split(" "):
        if not word:
            continue
        if not bare and columns(line) + 1 + columns(word) > width:
            lines.append(line)
            line, bare = rest, True
        line, bare = (line + word if bare else f"{line} {word}"), False
    lines.append(line.rstrip() if bare else line)
    return tuple(lines)


def pad(text: str, width: int) -> str:
    """``text`` with blanks up to ``width`` columns."""
    return text + " " * max(0, width - columns(text))
