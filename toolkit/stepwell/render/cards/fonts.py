"""What the card's fonts can show, read from the font files: characters, and the height of capitals.

Sizes are judged by the height of a capital on paper, not by points, because a point says little about what is seen.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path

POINT_MM = 25.4 / 72


@dataclass(frozen=True, slots=True, kw_only=True)
class FontFacts:
    """Characters (code points) of one font and its cap height as a part of the type size."""

    characters: frozenset[int]
    cap_height: float


def read_font(path: Path) -> FontFacts:
    """Read a static TrueType file. Raises ValueError if it has no Unicode character map: a fault of the package."""
    data = path.read_bytes()
    tables = _tables(data)
    units = _at(">H", data, tables[b"head"] + 18)[0]
    cap_height = _at(">h", data, tables[b"OS/2"] + 88)[0]
    return FontFacts(characters=_characters(data, tables[b"cmap"]), cap_height=cap_height / units)


def points_for(cap_mm: float, facts: FontFacts) -> float:
    """The type size in points whose capitals are ``cap_mm`` high."""
    return cap_mm / POINT_MM / facts.cap_height


def _at(form: str, data: bytes, offset: int) -> tuple[int, ...]:
    return struct.unpack_from(form, data, offset)


def _tables(data: bytes) -> dict[bytes, int]:
    count = _at(">H", data, 4)[0]
    return {data[at : at + 4]: _at(">I", data, at + 8)[0] for at in range(12, 12 + 16 * count, 16)}


def _characters(data: bytes, cmap: int) -> frozenset[int]:
    found: set[int] = set()
    for index in range(_at(">H", data, cmap + 2)[0]):
        platform, encoding, offset = _at(">HHI", data, cmap + 4 + 8 * index)
        if (platform, encoding) not in ((3, 1), (3, 10), (0, 3), (0, 4)):
            continue
        form = _at(">H", data, cmap + offset)[0]
        if form == 4:
            found |= _segments(data, cmap + offset)
        elif form == 12:
            for group in range(_at(">I", data, cmap + offset + 12)[0]):
                first, last = _at(">II", data, cmap + offset + 16 + 12 * group)
                found.update(range(first, last + 1))
    if not found:
        raise ValueError("the font has no Unicode character map")
    return frozenset(found)


def _segments(data: bytes, start: int) -> set[int]:
    double = _at(">H", data, start + 6)[0]
    ends, starts = start + 14, start + 16 + double
    found: set[int] = set()
    for at in range(0, double, 2):
        first, last = _at(">H", data, starts + at)[0], _at(">H", data, ends + at)[0]
        found.update(range(first, last + 1))
    found.discard(0xFFFF)
    return found
