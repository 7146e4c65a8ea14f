"""The sweep gas: what a blender takes from its two supplies, and gas flow beside blood flow."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Figure, Formula
from stepwell.quantities.units import UnitMismatchError

OXYGEN_IN_AIR = 0.21

BLENDER = Formula(
    name="blender-split",
    title="Oxygen and air that a blender takes",
    equation="Q_oxygen = Q (F - 0.21) / 0.79",
    source="Balance of the oxygen",
    mark="physics",
    validity="Without the blender's own bleed and a ventilator's drive gas, which are the unit's data (from memory).",
    example="6 L/min at 0.60: oxygen 2.96 L/min, air 3.04 L/min",
)
GAS_RATIO = Formula(
    name="gas-ratio",
    title="Gas flow beside blood flow",
    equation="ratio = Q_gas / Q_blood",
    source="Shaw et al., Perfusion 2024 (doi 10.1177/02676591241256089), on the pressure of the gas side",
    mark="seen",
    validity="Often begun at 1 (common practice); the typical stated maximum is 2. The maker's limit stands above both.",
    example="3 L/min of gas beside 4 L/min of blood: 0.75",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BlenderSplit:
    """What is taken from each supply, in ``unit``."""

    oxygen: float
    air: float
    unit: str


def blender_split(flow: Quantity, fraction: float) -> BlenderSplit:
    """L/min of oxygen and of air for a ``flow`` with this oxygen ``fraction`` (0.21 to 1)."""
    if not OXYGEN_IN_AIR <= fraction <= 1:
        raise UnitMismatchError(f"the fraction must lie between {OXYGEN_IN_AIR} and 1, not {fraction}")
    whole = positive(flow, "L/min", "flow")
    oxygen = whole * (fraction - OXYGEN_IN_AIR) / (1 - OXYGEN_IN_AIR)
    return BlenderSplit(oxygen=oxygen, air=whole - oxygen, unit="L/min")


def gas_ratio(gas: Quantity, blood: Quantity) -> Figure:
    """Gas flow for each unit of blood flow."""
    return Figure(value=positive(gas, "L/min", "gas flow") / positive(blood, "L/min", "blood flow"), unit="")
