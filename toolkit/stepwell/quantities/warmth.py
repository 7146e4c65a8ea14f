"""Heat that a set gives away, and what a cold prime takes from the patient. Orders of magnitude, for trainers."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Figure, Formula
from stepwell.quantities.units import to

WATER_IN_GAS = 44.0
"""mg of water in each litre of gas that leaves at body temperature (physics)."""
EVAPORATION = 2.41
"""kJ to evaporate a gram of water at body temperature (physics)."""
BODY_HEAT = 3.47
"""kJ to warm a kilogram of the body by one degree (from memory)."""
WATER_HEAT = 4.18
"""The same for prime."""

EVAPORATIVE_LOSS = Formula(
    name="evaporative-loss",
    title="Water and heat that leave with the sweep gas",
    equation="m = 44 mg/L x sweep; P = m x 2.41 kJ/g",
    source="Saturated gas at body temperature",
    mark="physics",
    validity="Dry gas in, saturated gas out: the most that can be. Warming the gas itself takes about another fifth.",
    example="6 L/min: 0.264 g/min, 380 mL of water a day, 10.6 W",
)
TUBE_LOSS = Formula(
    name="tube-loss",
    title="Heat that tubes give to the room",
    equation="P = h x outer surface x (T_blood - T_room)",
    source="Heat transfer to still air, h about 10 W/(m² K)",
    mark="physics",
    validity="An order of magnitude; drapes and draughts change it about twofold.",
    example="4 m of a tube 14.3 mm wide outside, 15 degrees warmer than the room: 27 W",
)
COOLING = Formula(
    name="cooling-rate",
    title="How fast a patient cools",
    equation="dT/t = P / (m x 3.47 kJ/(kg K))",
    source="Heat over heat capacity",
    mark="physics",
    validity="For trainers. Nothing warms against it, and the body makes no more heat than it loses otherwise.",
    example="50 W, 70 kg: 0.74 degrees an hour",
)
COLD_PRIME = Formula(
    name="cold-prime",
    title="Temperature after a cold prime",
    equation="T = (V_blood T_blood + V_prime T_prime) / (V_blood + V_prime)",
    source="Mean by volume",
    mark="physics",
    validity="For trainers. Blood and prime taken as equally heavy; the blood's figure is that of a moment.",
    example="587 mL at 20 °C into 4.9 L at 37 °C: blood 35.2 °C, a body of 70 kg 0.17 degrees cooler",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class EvaporativeLoss:
    """``per_minute`` in g/min, ``per_day`` in mL, ``heat`` in W."""

    per_minute: float
    per_day: float
    heat: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdPrime:
    """``blood`` in °C; ``body``: how many degrees the whole body is cooler."""

    blood: float
    body: float


def evaporative_loss(sweep: Quantity) -> EvaporativeLoss:
    """Water and heat that leave with this sweep gas."""
    grams = WATER_IN_GAS / 1000 * positive(sweep, "L/min", "sweep gas")
    return EvaporativeLoss(per_minute=grams, per_day=grams * 1440, heat=grams * EVAPORATION * 1000 / 60)


def tube_loss(outer_diameter: Quantity, length: Quantity, degrees: float, transfer: float = 10.0) -> Figure:
    """W from a tube ``degrees`` warmer than the room; ``transfer`` in W/(m² K)."""
    surface = pi * positive(outer_diameter, "m", "outer diameter") * positive(length, "m", "length")
    return Figure(value=transfer * surface * degrees, unit="W")


def cooling_rate(heat: Quantity, mass: Quantity) -> Figure:
    """Degrees an hour that a body of ``mass`` loses with ``heat``."""
    per_second = positive(heat, "W", "heat") / (positive(mass, "kg", "mass") * BODY_HEAT * 1000)
    return Figure(value=per_second * 3600, unit="degrees an hour")


def cold_prime(
    blood_volume: Quantity, blood: Quantity, prime_volume: Quantity, prime: Quantity, mass: Quantity
) -> ColdPrime:
    """What ``prime_volume`` at ``prime`` does to ``blood_volume`` at ``blood``, and to a body of ``mass``."""
    there, added = positive(blood_volume, "L", "blood volume"), positive(prime_volume, "L", "prime volume")
    warm, cold = to(blood, "°C"), to(prime, "°C")
    body = added * WATER_HEAT * (warm - cold) / (positive(mass, "kg", "mass") * BODY_HEAT)
    return ColdPrime(blood=(there * warm + added * cold) / (there + added), body=body)
