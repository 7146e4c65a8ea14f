"""How fast air comes in through an open port, and how fast blood is lost through a breach."""

from __future__ import annotations

from math import pi, sqrt

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Figure, Formula
from stepwell.quantities.units import UnitMismatchError

AIR_DENSITY = 1.2
"""kg/m³ at 20 °C (physics)."""
DISCHARGE = 0.6
"""Share of the ideal flow that passes a sharp-edged hole (physics, from memory)."""

AIR_THROUGH_PORT = Formula(
    name="air-through-port",
    title="Air through an open port",
    equation="Q = 0.6 A sqrt(2 dP / rho_air)",
    source="Flow through a sharp-edged hole",
    mark="physics",
    validity="An upper bound: it leaves out the port's length and the compression of air.",
    example="100 mmHg below the air: 4 L/min through 1 mm, 17 L/min through 2 mm",
)
TIME_TO_LOSE = Formula(
    name="time-to-lose",
    title="Time in which a share of the blood is lost",
    equation="t = share x blood volume / flow",
    source="Volume over flow",
    mark="physics",
    validity="For trainers. A steady flow through the breach; the pump drives it until it is stopped or clamped.",
    example="30 % of 4.9 L at 4.5 L/min: 20 s",
)


def air_through_port(suction: Quantity, bore: Quantity) -> Figure:
    """L/min of air through a hole of ``bore`` with ``suction`` (above zero) below the air's pressure inside."""
    area = pi * (positive(bore, "m", "bore") / 2) ** 2
    speed = sqrt(2 * positive(suction, "Pa", "suction") / AIR_DENSITY)
    return Figure(value=DISCHARGE * area * speed * 60_000, unit="L/min")


def time_to_lose(share: float, blood_volume: Quantity, flow: Quantity) -> Figure:
    """Seconds until ``share`` (0 to 1) of the blood volume has run out at ``flow``."""
    if not 0 < share <= 1:
        raise UnitMismatchError(f"the share must be above 0 and at most 1, not {share}")
    minutes = share * positive(blood_volume, "L", "blood volume") / positive(flow, "L/min", "flow")
    return Figure(value=minutes * 60, unit="s")
