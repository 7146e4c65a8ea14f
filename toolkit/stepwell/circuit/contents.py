"""What a space holds, as a set of possibilities.

Contents are a bit mask: every bit set is something that the space may hold. One bit is certainty, several are
"may be"; that is how filling that has begun but not been waited for is kept apart from filling that is complete.
"""

from __future__ import annotations

from stepwell.model.tri import Tri

AIR = 1
CO2 = 2
WET = 4
"""Liquid with air in it."""
CLEAR = 8
"""Air-free liquid."""
BLOOD = 16
"""Air-free blood."""

DRY = AIR | CO2
LIQUID = WET | CLEAR | BLOOD
AIR_FREE = CLEAR | BLOOD
ANYTHING = DRY | LIQUID

WORDS: tuple[tuple[str, int], ...] = (
    ("dry", AIR),
    ("co2", CO2),
    ("wet", WET),
    ("clear", CLEAR),
    ("blood", BLOOD),
)
STATES: tuple[tuple[str, str], ...] = (
    ("dry", "holds air"),
    ("co2", "holds carbon dioxide, no liquid"),
    ("wet", "holds liquid with air in it"),
    ("clear", "holds air-free liquid"),
    ("blood", "holds air-free blood"),
)


def within(mask: int, allowed: int) -> Tri:
    """Whether contents ``mask`` are surely, possibly or surely not among ``allowed``."""
    if not mask & ~allowed:
        return Tri.YES
    return Tri.MAYBE if mask & allowed else Tri.NO


def said(mask: int) -> str:
    """The contents in words for people, such as "may hold air or liquid with air"."""
    names = {
        AIR: "air",
        CO2: "carbon dioxide",
        WET: "liquid with air in it",
        CLEAR: "air-free liquid",
        BLOOD: "blood",
    }
    held = [name for bit, name in names.items() if mask & bit]
    if len(held) == 1:
        return f"holds {held[0]}"
    return "may hold " + ", ".join(held[:-1]) + f" or {held[-1]}"
