"""Every formula of the package, in the order in which the site and ``explain`` list them."""

from __future__ import annotations

from stepwell.quantities import (
    bags,
    battery,
    cylinder,
    gravity_fill,
    head,
    laminar,
    oxygen_need,
    oxygenator_height,
    prime,
    sensor_offset,
    transit,
    tubing,
)
from stepwell.quantities.formula import Formula

FORMULAS: tuple[Formula, ...] = (
    tubing.FORMULA,
    prime.FORMULA,
    bags.FORMULA,
    head.FORMULA,
    gravity_fill.FORMULA,
    laminar.FORMULA,
    sensor_offset.FORMULA,
    sensor_offset.WET_ZERO,
    cylinder.FORMULA,
    oxygen_need.FORMULA,
    battery.FORMULA,
    transit.FORMULA,
    oxygenator_height.FORMULA,
)


def formula(name: str) -> Formula | None:
    """The formula called ``name``, or None."""
    return next((entry for entry in FORMULAS if entry.name == name), None)
