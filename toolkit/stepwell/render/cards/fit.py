"""The largest type at which an emergency card is one side of its paper."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from stepwell.render.cards.attempt import Attempt, Card
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import TOP_MM, Breaks
from stepwell.render.cards.sizes import LARGEST_SCALE, least_scale

NEAR = 0.015
"""The search ends when the scale is known to within this: a fifth of a point, which nobody sees."""
FULL = 0.955
"""It also ends with a page that is filled to this part."""
_AIM = 0.96
_MOST = 3
"""Layouts; what fits is then good enough, for lines that wrap make the height jump."""
_GROWS = (0.75, 1.05)
"""How the height grows with the type, as a power, below the preferred size (there only the lines shrink, and boxes, rules
and margins never do) and above it. Only the second layout depends on these; measured on the demo's cards."""
_FLATTEST, _STEEPEST = 0.2, 4.0
"""A line that wraps, or no longer does, makes the growth between two layouts look flatter or steeper than it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tried:
    """Part of the room that is filled (above 1 for what runs on to a second side) at a scale."""

    scale: float
    fill: float


def fitted(card: Card) -> Attempt:
    """One side, set as large as it can be; the smallest permitted type if there is none that makes it one side.

    The height of what is laid out tells where to try next, because one layout costs more than all the rest.
    """
    low = least_scale()
    tried: list[_Tried] = []
    best: Attempt | None = None
    fits: _Tried | None = None
    over: _Tried | None = None
    scale = 1.0
    while len(tried) < _MOST:
        attempt = card.attempt(scale, Breaks())
        tried.append(_Tried(scale=scale, fill=_height(attempt.layout) / (card.bottom - TOP_MM)))
        if attempt.layout.pages == 1 and not attempt.layout.too_long(card.bottom):
            best, fits = attempt, tried[-1]
        elif scale > low:
            over = tried[-1]
        else:
            return _at_least(card, attempt)
        if fits is not None and (fits.fill >= FULL or (LARGEST_SCALE if over is None else over.scale) - fits.scale <= NEAR):
            break
        scale = _next(tried, fits, over)
    return best if best is not None else _at_least(card, card.attempt(low, Breaks()))


def _at_least(card: Card, attempt: Attempt) -> Attempt:
    """What was laid out at the least size; where a step is longer than a side, again with leave to break it."""
    too_long = attempt.layout.too_long(card.bottom)
    return card.attempt(least_scale(), Breaks(loose=too_long)) if too_long else attempt


def _height(layout: Layout) -> float:
    """How high all of it is, in mm, as if pages had no end: what is left empty at the foot of a page is not counted."""
    lowest: dict[int, float] = {}
    for mark in layout.marks:
        lowest[mark.page] = max(lowest.get(mark.page, TOP_MM), mark.y)
    return sum(y - TOP_MM for y in lowest.values())


def _next(tried: Sequence[_Tried], fits: _Tried | None, over: _Tried | None) -> float:
    """Where the page would be as full as is aimed at, by the growth between the last two layouts; never where it is known
    already whether it fits."""
    last = tried[-1]
    low = least_scale() if fits is None else fits.scale + NEAR / 2
    high = LARGEST_SCALE if over is None else over.scale - NEAR / 2
    aim = last.scale * math.pow(_AIM / last.fill, 1 / _growth(tried))
    return max(least_scale(), min(high, max(low, aim)))


def _growth(tried: Sequence[_Tried]) -> float:
    """How the height grows with the type, as a power."""
    last = tried[-1]
    if len(tried) == 1:
        return _GROWS[0] if last.fill > _AIM else _GROWS[1]
    one = min(tried[:-1], key=lambda other: abs(other.scale - last.scale))
    seen = math.log(last.fill / one.fill) / math.log(last.scale / one.scale)
    return min(_STEEPEST, max(_FLATTEST, seen))
