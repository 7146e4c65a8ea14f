"""The pressure of blood in an oxygenator that stands above or below the patient while nothing flows."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import BLOOD, Fluid
from stepwell.quantities.formula import Formula
from stepwell.quantities.head import height_margin
from stepwell.quantities.units import to

FORMULA = Formula(
    name="oxygenator-height",
    title="Height margin of the oxygenator",
    equation="P = P_patient + rho g (h_patient - h_oxygenator)",
    source="Hydrostatics",
    mark="physics",
    validity="Pump off, limbs open, gas side at atmospheric pressure. Below zero, gas may be drawn through the membrane.",
    example="30 cm above the patient at a right atrial pressure of 0: -23 mmHg",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightMargin:
    """``value`` in ``unit`` against atmosphere; ``draws_gas`` where it is below zero."""

    value: float
    unit: str
    draws_gas: bool
    fluid: str


def oxygenator_height(
    patient_pressure: Quantity, patient: Quantity, oxygenator: Quantity, fluid: Fluid = BLOOD
) -> HeightMargin:
    """Static pressure in mmHg at the oxygenator; ``patient`` and ``oxygenator`` are heights above the
    floor."""
    value = to(patient_pressure, "mmHg") + height_margin(patient, oxygenator, fluid).value
    return HeightMargin(value=value, unit="mmHg", draws_gas=value < 0, fluid=fluid.name)
