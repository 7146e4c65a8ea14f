"""Small signs in documents: tick boxes, typed numbers, and what no file of a unit may hold."""

from __future__ import annotations

import re

from stepwell.source.decode import FORBIDDEN

_BOX = re.compile(r"^\s*(?P<box>[☐□■▢◻◽❏❑❒☑☒✓✔]|\[[ xX]?\]|\([ xX]?\)|_{3,})(?=\s|$)\s*")
_BOX_ANYWHERE = re.compile(r"[☐□■▢◻◽❏❑❒☑☒✓✔]|\[[ xX]?\]|\( ?\)|_{3,}|\.{4,}")
_TICKED = frozenset("☑☒✓✔xX")
_NUMBER = re.compile(
    r"^(?P<number>(?:step|line|no\.?)\s*\d{1,3}|\d{1,3}(?:\.\d{1,3})*|[a-zA-Z])\s*[.):]\s+(?=\S)", re.IGNORECASE
)
_PRIVATE = {chr(0xF000 + code): sign for code, sign in ((0xA8, "☐"), (0x6F, "☐"), (0x71, "☐"), (0xFE, "☑"), (0xB7, "•"))}


def tidy(text: str) -> str:
    """The text on one line without signs that a file of the unit may not hold."""
    for sign, plain in _PRIVATE.items():
        text = text.replace(sign, f" {plain} ")
    return " ".join(FORBIDDEN.sub("", text.replace("\xad", "")).split())


def unboxed(text: str) -> tuple[bool | None, str]:
    """Whether a tick box leads the text and is ticked (None: there is no box), and the text without it."""
    match = _BOX.match(text)
    if match is None or not text[match.end() :].strip():
        return None, text
    return bool(set(match["box"]) & _TICKED), text[match.end() :].strip()


def boxed(cell: str) -> bool:
    """True if a cell holds a box or a line to sign on, and nothing else but a word such as "done"."""
    rest = _BOX_ANYWHERE.sub(" ", cell)
    return rest != cell and len(rest.split()) <= 1


def typed_number(text: str) -> tuple[str, str]:
    """A number that somebody typed in front of a line, and the line; ("", text) if there is none."""
    match = _NUMBER.match(text)
    return ("", text) if match is None else (match[0].strip(), text[match.end() :])
