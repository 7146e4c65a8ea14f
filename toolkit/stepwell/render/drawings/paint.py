"""Ink, and what the inside of a space looks like. No two contents share a grey, and each has a texture of its own."""

from __future__ import annotations

import math

from stepwell.circuit.contents import AIR, BLOOD, CLEAR, CO2, DRY, LIQUID, WET
from stepwell.model.language import ENGLISH, Language
from stepwell.render.drawings.paper import Paper

INK, SOFT, PAPER = "#141513", "#454742", "#ffffff"
WET_TINT, CLEAR_TINT, BLOOD_TINT = "#cfe4e6", "#69a9b3", "#8a2327"

_FLAT = {AIR: PAPER, CO2: "#eef0ea", WET: WET_TINT, CLEAR: CLEAR_TINT, BLOOD: BLOOD_TINT}
_NAMES = {AIR: "air", CO2: "carbon dioxide", WET: "liquid with air", CLEAR: "air-free", BLOOD: "blood"}


def bits_of(mask: int) -> tuple[int, ...]:
    """The possibilities of a contents mask, the driest first."""
    return tuple(bit for bit in (AIR, CO2, WET, CLEAR, BLOOD) if mask & bit)


def contents_words(mask: int, language: Language = ENGLISH) -> str:
    """A mask as it stands below a label: of several possibilities the worst for whoever relies on it."""
    names = _named(mask, language)
    if len(names) < 2:
        return names[0] if names else language.say("drawing", "not known")
    if mask & DRY and mask & LIQUID:
        return language.say("drawing", "may be dry")
    return language.say("drawing", "may hold air") if mask & WET else either(names, language)


def every_possibility(mask: int, language: Language = ENGLISH) -> str:
    """A mask in full, where there is room for it."""
    names = _named(mask, language)
    if len(names) < 2:
        return contents_words(mask, language)
    return language.say("drawing", "may be {one}", one=either(names, language))


def either(names: list[str], language: Language = ENGLISH) -> str:
    """``a, b or c``."""
    if len(names) < 2:
        return "".join(names)
    return language.say("drawing", "{some} or {last}", some=", ".join(names[:-1]), last=names[-1])


def _named(mask: int, language: Language) -> list[str]:
    return [language.say("drawing", _NAMES[bit]) for bit in bits_of(mask)]


def fill_of(mask: int | None) -> str:
    """The value of ``fill`` (or ``stroke``) for a space."""
    bits = bits_of(mask or 0)
    if len(bits) > 1:
        return f"url(#may{mask})"
    if bits in ((CO2,), (WET,)):
        return "url(#co2)" if bits == (CO2,) else "url(#wet)"
    return _FLAT[bits[0]] if bits else PAPER


def definitions(paper: Paper, masks: set[int]) -> None:
    """Patterns for the contents that occur. Whatever may be several things is striped with all of them."""
    paper.open("defs")
    paper.open("pattern", id="wet", width=15, height=15, patternUnits="userSpaceOnUse")
    paper.rect(0, 0, 15, 15, fill=WET_TINT)
    for centre, radius in (((4.0, 4.0), 2.9), ((11.0, 11.0), 2.2)):
        paper.circle(centre, radius, fill=PAPER, stroke=INK, stroke_width=1)
    paper.close("pattern")
    paper.open("pattern", id="co2", width=9, height=9, patternUnits="userSpaceOnUse")
    paper.rect(0, 0, 9, 9, fill=PAPER)
    paper.line(((2, 4.5), (7, 4.5)), stroke=INK, stroke_width=1.2)
    paper.line(((4.5, 2), (4.5, 7)), stroke=INK, stroke_width=1.2)
    paper.close("pattern")
    for mask in sorted(mask for mask in masks if len(bits_of(mask)) > 1):
        bits = bits_of(mask)
        wide = 9 * len(bits)
        paper.open(
            "pattern", id=f"may{mask}", width=wide, height=20, patternUnits="userSpaceOnUse", patternTransform="rotate(45)"
        )
        for at, bit in enumerate(bits):
            paper.rect(9 * at, 0, 9, 20, fill=_FLAT[bit])
            paper.line(((9 * at, 0), (9 * at, 20)), stroke=INK, stroke_width=1.2)
        paper.close("pattern")
    paper.close("defs")


def tube(paper: Paper, points: tuple[tuple[float, float], ...], mask: int | None, *, wide: bool, changed: bool) -> None:
    """A length of tubing: outline, then inside. A broken outline: what it holds is not certain."""
    outline(paper, points, mask, wide=wide, changed=changed)
    inside(paper, points, mask, wide=wide)


def outline(paper: Paper, points: tuple[tuple[float, float], ...], mask: int | None, *, wide: bool, changed: bool) -> None:
    """The walls of tubing; all walls are painted before all insides, so that joints have no seam."""
    outer = (13.0 if wide else 8.0) + (9.0 if changed else 4.6)
    joins: dict[str, str | float] = {"fill": "none", "stroke_linejoin": "round"}
    points = _lapped(points)
    if len(bits_of(mask or 0)) > 1:
        paper.line(points, stroke=PAPER, stroke_width=outer, **joins)
        paper.line(points, stroke=INK, stroke_width=outer, stroke_dasharray="7 4", **joins)
    else:
        paper.line(points, stroke=INK, stroke_width=outer, **joins)


def inside(paper: Paper, points: tuple[tuple[float, float], ...], mask: int | None, *, wide: bool) -> None:
    """What the tubing holds."""
    paper.line(
        _lapped(points), stroke=fill_of(mask), stroke_width=13.0 if wide else 8.0, fill="none", stroke_linejoin="round"
    )


def _lapped(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """A little longer at both ends, so that tubing that goes on shows no seam."""
    if len(points) < 2:
        return points

    def beyond(here: tuple[float, float], before: tuple[float, float]) -> tuple[float, float]:
        length = math.dist(here, before) or 1.0
        return here[0] + 0.7 * (here[0] - before[0]) / length, here[1] + 0.7 * (here[1] - before[1]) / length

    return (beyond(points[0], points[1]), *points[1:-1], beyond(points[-1], points[-2]))
