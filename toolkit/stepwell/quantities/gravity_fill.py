"""How fast a line fills from a hung bag, with the Reynolds number that decides which law holds."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import Fluid, column_pressure, positive
from stepwell.quantities.formula import Formula, Refused

LAMINAR_BELOW = 2300.0
"""Reynolds number up to which f = 64/Re is used in the balance."""
POISEUILLE_BELOW = 2000.0
"""Reynolds number above which the plain law of Poiseuille is refused."""

FORMULA = Formula(
    name="gravity-fill",
    title="Flow from a hung bag",
    equation="rho g h = rho v^2/2 (f L/D + K); f = 64/Re below 2300, else 0.316/Re^0.25 (Blasius)",
    source="Bernoulli with Darcy and Blasius friction, from memory",
    mark="physics",
    validity="A full line and a steady level: the highest flow there can be. Re up to 100,000. K is an"
    " estimate of the losses"
    " at the bag's outlet, spike and fittings. Poiseuille's law alone overstates wide lines several times"
    " over.",
    example="saline, 60 cm, 2 m of 3/8 in, K 2.5: 4.9 L/min at Re 10,950",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class GravityFill:
    """``value`` in ``unit``; ``reynolds``, ``regime`` (laminar, between, turbulent), ``velocity`` in m/s.

    ``seconds`` is the least time for the volume asked about, None if none was.
    """

    value: float
    unit: str
    reynolds: float
    regime: str
    velocity: float
    seconds: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PoiseuilleFlow:
    """``value`` in ``unit`` with its Reynolds number, which is at most 2000."""

    value: float
    unit: str
    reynolds: float


def friction(reynolds: float) -> float:
    """Darcy's friction factor: 64/Re below 2300, Blasius above."""
    return 64 / reynolds if reynolds < LAMINAR_BELOW else 0.316 / reynolds**0.25


def gravity_fill(
    head: Quantity,
    bore: Quantity,
    length: Quantity,
    fluid: Fluid,
    *,
    losses: float = 2.5,
    volume: Quantity | None = None,
) -> GravityFill:
    """Flow in L/min through ``length`` of ``bore`` from a level ``head`` (a height) above its outlet.

    ``losses`` is the sum of loss coefficients K. With ``volume`` the least filling time is given too.
    Source: physics.
    """
    height, diameter, run = (
        positive(head, "m", "head"),
        positive(bore, "m", "bore"),
        positive(length, "m", "length"),
    )
    drive = column_pressure(height, fluid)
    viscosity = fluid.viscosity / 1000

    def needed(velocity: float) -> float:
        reynolds = fluid.density * velocity * diameter / viscosity
        return fluid.density * velocity**2 / 2 * (friction(reynolds) * run / diameter + losses)

    # Without friction the velocity is at most sqrt(2 g h / K), or that of K = 0.01 for a line without
    # fittings. The pressure needed grows with the velocity, with one upward jump where friction turns
    # turbulent, so halving finds the balance.
    low, high = 0.0, sqrt(2 * drive / fluid.density / max(losses, 0.01))
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if needed(middle) < drive else (low, middle)
    reynolds = fluid.density * high * diameter / viscosity
    flow = high * pi * (diameter / 2) ** 2 * 60_000
    regime = "laminar" if reynolds < LAMINAR_BELOW * 0.999 else "turbulent" if reynolds > 4000 else "between"
    seconds = None if volume is None else positive(volume, "L", "volume") / flow * 60
    return GravityFill(value=flow, unit="L/min", reynolds=reynolds, regime=regime, velocity=high, seconds=seconds)


def poiseuille(pressure: Quantity, bore: Quantity, length: Quantity, fluid: Fluid) -> PoiseuilleFlow | Refused:
    """Laminar flow in L/min, Q = pi r^4 P / (8 mu L), or Refused above a Reynolds number of 2000. Source:
    physics."""
    drive, diameter, run = (
        positive(pressure, "Pa", "pressure"),
        positive(bore, "m", "bore"),
        positive(length, "m", "length"),
    )
    viscosity = fluid.viscosity / 1000
    flow = pi * (diameter / 2) ** 4 * drive / (8 * viscosity * run)
    reynolds = 4 * fluid.density * flow / (pi * viscosity * diameter)
    if reynolds > POISEUILLE_BELOW:
        return Refused(
            reason=f"Poiseuille's law would give {flow * 60_000:.1f} L/min"
            f" at a Reynolds number of {reynolds:,.0f}; it holds up to 2,000 only",
            reynolds=reynolds,
        )
    return PoiseuilleFlow(value=flow * 60_000, unit="L/min", reynolds=reynolds)
