"""The flow at which a tube stops being laminar."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import Fluid, positive
from stepwell.quantities.formula import Formula

FORMULA = Formula(
    name="laminar-limit",
    title="Highest laminar flow in a tube",
    equation="Q = Re mu pi D / (4 rho) at Re 2000",
    source="Definition of the Reynolds number",
    mark="physics",
    validity="A long straight tube. Above it a pressure drop is a range, from the laminar to the turbulent figure.",
    example="blood at 3.5 mPa s: 1/4 in 1.98, 3/8 in 2.96, 1/2 in 3.95 L/min",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LaminarLimit:
    """``value`` in ``unit`` at ``reynolds`` for ``fluid``."""

    value: float
    unit: str
    reynolds: float
    fluid: str


def laminar_limit(bore: Quantity, fluid: Fluid, *, reynolds: float = 2000.0) -> LaminarLimit:
    """Flow in L/min at which a tube of ``bore`` reaches ``reynolds``. Source: physics."""
    flow = reynolds * fluid.viscosity / 1000 * pi * positive(bore, "m", "bore") / (4 * fluid.density)
    return LaminarLimit(value=flow * 60_000, unit="L/min", reynolds=reynolds, fluid=fluid.name)


def reynolds_number(flow: Quantity, bore: Quantity, fluid: Fluid) -> float:
    """Reynolds number of a ``flow`` in a tube of ``bore``. Source: definition."""
    cubic_metres_per_second = positive(flow, "L/min", "flow") / 60_000
    return 4 * fluid.density * cubic_metres_per_second / (pi * fluid.viscosity / 1000 * positive(bore, "m", "bore"))
