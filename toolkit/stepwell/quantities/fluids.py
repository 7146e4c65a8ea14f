"""Gravity, and the liquids that circuits hold.

Density in kg/m³, viscosity in mPa·s. Water and saline at 20 °C, blood at 37 °C; the viscosity of blood
falls with the haematocrit and rises as it cools, 3.5 is the upper end of the usual 3 to 3.5. Sources:
physics, handbook values from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from stepwell.model.quantity import Quantity
from stepwell.quantities.units import UnitMismatchError, to

GRAVITY = 9.80665
"""Standard gravity, m/s² (exact by definition)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fluid:
    """A liquid by name, with its density in kg/m³ and its dynamic viscosity in mPa·s."""

    name: str
    density: float
    viscosity: float


WATER = Fluid(name="water", density=1000.0, viscosity=1.0)
SALINE = Fluid(name="0.9 % saline", density=1004.6, viscosity=1.0)
BLOOD = Fluid(name="blood", density=1060.0, viscosity=3.5)

FLUIDS: tuple[Fluid, ...] = (WATER, SALINE, BLOOD)


def positive(quantity: Quantity, unit: str, what: str) -> float:
    """The number of ``unit`` in ``quantity``, which must be above zero. Raises UnitMismatchError
    otherwise."""
    value = to(quantity, unit)
    if not isfinite(value) or value <= 0:
        raise UnitMismatchError(f"{what} must be more than 0 {unit}, not {quantity}")
    return value


def column_pressure(height_m: float, fluid: Fluid) -> float:
    """Pressure in Pa at the foot of a column of ``height_m`` metres."""
    return fluid.density * GRAVITY * height_m
