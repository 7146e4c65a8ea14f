"""How large the type is.

Source (as quoted in NUREG-0700 1.3.1-4): a character at least 16 minutes of arc high at the reading distance, 20
preferred. At 0.6 m that is a capital of 2.8 mm, better 3.5 mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from stepwell.render.cards.fonts import POINT_MM, FontFacts, points_for

PREFERRED_ARC = 20.0
LEAST_ARC = 16.0
LARGEST_SCALE = 1.15
"""How far above the preferred size an emergency card may grow to fill its side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """Type sizes in points: ``main`` for lines, ``detail`` for what belongs to a line."""

    main: float
    detail: float


def cap_mm(arc_minutes: float, distance_mm: float) -> float:
    """The height in mm that fills an angle at a distance."""
    return distance_mm * math.tan(math.radians(arc_minutes / 60))


def sizes_at(distance_mm: float, facts: FontFacts, scale: float = 1.0) -> Sizes:
    """Sizes at ``scale`` times the preferred size; nothing of the card's lines is ever below the least size."""
    least = points_for(cap_mm(LEAST_ARC, distance_mm), facts)
    main = max(least, points_for(cap_mm(PREFERRED_ARC, distance_mm), facts) * scale)
    return Sizes(main=_up(main), detail=_up(max(least, main * 0.8)))


def least_scale() -> float:
    """The smallest scale that leaves lines at the least size."""
    return LEAST_ARC / PREFERRED_ARC


def seen_cap_mm(points: float, facts: FontFacts) -> float:
    """The height of a capital in mm at a type size."""
    return points * facts.cap_height * POINT_MM


def _up(points: float) -> float:
    # Upwards, so that rounding never undercuts the least size.
    return math.ceil(points * 100) / 100
