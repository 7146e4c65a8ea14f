"""Pressure of a column of liquid."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import Fluid, column_pressure
from stepwell.quantities.formula import Formula
from stepwell.quantities.units import quantity, to

FORMULA = Formula(
    name="hydrostatic-head",
    title="Head of a column of liquid",
    equation="P = rho g h",
    source="Hydrostatics; densities from memory",
    mark="physics",
    validity="Liquid at rest and without a gap. Flow takes some of the head.",
    example="60 cm: water 44.1, saline 44.3, blood 46.8 mmHg",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """``value`` in ``unit``, positive where the upper end really is above; ``fluid`` and ``height`` (cm)
    it was for."""

    value: float
    unit: str
    fluid: str
    height: float


def hydrostatic_head(height: Quantity, fluid: Fluid) -> Head:
    """Pressure in mmHg of a column of ``fluid`` of ``height`` (a length; may be negative). Source:
    physics."""
    metres = to(height, "m")
    pascal = column_pressure(metres, fluid)
    return Head(value=to(quantity(pascal, "Pa"), "mmHg"), unit="mmHg", fluid=fluid.name, height=metres * 100)


def height_margin(upper: Quantity, lower: Quantity, fluid: Fluid) -> Head:
    """Head in mmHg that a level at ``upper`` has over ``lower``, both heights above the floor. Source:
    physics."""
    return hydrostatic_head(quantity(to(upper, "cm") - to(lower, "cm"), "cm"), fluid)
