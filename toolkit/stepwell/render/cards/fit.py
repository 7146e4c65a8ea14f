"""The largest type at which an emergency card is one side of its paper."""

from __future__ import annotations

import math

from stepwell.render.cards.attempt import Attempt, Card
from stepwell.render.cards.page_data import TOP_MM, Breaks
from stepwell.render.cards.sizes import LARGEST_SCALE, least_scale

NEAR = (LARGEST_SCALE - least_scale()) / 32
"""The search ends when the scale is known to within this."""
FULL = 0.992
"""It also ends with a page that is filled to this part."""
_MOST = 7


def fitted(card: Card) -> Attempt:
    """One side, set as large as it can be; the smallest permitted type if there is none that makes it one side.

    The height of what is laid out tells where to try next, because one layout costs more than all the rest.
    """
    low, high = least_scale(), LARGEST_SCALE
    best = card.attempt(low, Breaks())
    loose = best.layout.too_long(card.bottom)
    if loose:
        best = card.attempt(low, Breaks(loose=loose))
    if best.layout.pages > 1:
        return best
    room = card.bottom - TOP_MM
    fits, over = (low, _height(best, room)), (0.0, 0.0)
    for _ in range(_MOST):
        if fits[1] >= FULL * room or high - fits[0] <= NEAR:
            break
        scale = _next(fits, over, room, high)
        tried = card.attempt(scale, Breaks(loose=loose))
        height = _height(tried, room)
        if tried.layout.pages == 1:
            fits, best = (scale, height), tried
        else:
            over, high = (scale, height), scale
    return best


def _height(attempt: Attempt, room: float) -> float:
    """How high all of it is, in mm; what is on further pages counts as if they were one below the other."""
    last = max((mark for mark in attempt.layout.marks), key=lambda mark: (mark.page, mark.y))
    return (last.page - 1) * room + last.y - TOP_MM


def _next(fits: tuple[float, float], over: tuple[float, float], room: float, high: float) -> float:
    """Between what fits and what does not by their heights; upwards by the height alone while nothing was too large.

    Boxes, rules and margins do not grow with the type, so that the step may be more than in proportion.
    """
    scale, height = fits
    if not over[0]:
        return min(high, max(scale + NEAR, scale * math.pow(room / height, 1.5)))
    part = (room - height) / max(over[1] - height, 0.001)
    return min(high - NEAR / 2, max(scale + NEAR / 2, scale + (high - scale) * part))
