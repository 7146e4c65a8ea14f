"""What a pressure sensor reads when it is not at the level it is meant for, or was zeroed under a column
of liquid."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import Fluid
from stepwell.quantities.formula import Formula
from stepwell.quantities.head import hydrostatic_head
from stepwell.quantities.units import quantity, to

FORMULA = Formula(
    name="sensor-offset",
    title="Reading of a sensor that is too low or too high",
    equation="reading = true + rho g (h_reference - h_sensor)",
    source="Hydrostatics",
    mark="physics",
    validity="A sensor joined to the reference level by standing liquid. Says nothing about drift or a damped line.",
    example="20 cm below the reference: +14.7 mmHg with water, +15.6 mmHg with blood",
)

WET_ZERO = Formula(
    name="wet-zero",
    title="Error stored by zeroing under a column of liquid",
    equation="stored offset = rho g h; every later reading is lower by it",
    source="Hydrostatics",
    mark="physics",
    validity="The column stood still while the sensor was zeroed. A difference of two sensors is right only"
    " if both store the same.",
    example="zeroed with a bag open 60 cm above: a true -60 reads -104 mmHg, a true 300 reads 256, an alarm"
    " at 300 comes at 344",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorOffset:
    """``value`` in ``unit`` is added to the true pressure by the display (negative: it reads low)."""

    value: float
    unit: str
    fluid: str

    def reading(self, true: Quantity) -> float:
        """What the display shows, in mmHg, at a ``true`` pressure."""
        return to(true, "mmHg") + self.value

    def true_at(self, reading: Quantity) -> float:
        """The true pressure in mmHg behind a ``reading``, such as an alarm limit."""
        return to(reading, "mmHg") - self.value


def sensor_offset(reference: Quantity, sensor: Quantity, fluid: Fluid) -> SensorOffset:
    """Offset in mmHg of a sensor at height ``sensor`` meant for the level ``reference``. Source: physics."""
    difference = quantity(to(reference, "cm") - to(sensor, "cm"), "cm")
    return SensorOffset(value=hydrostatic_head(difference, fluid).value, unit="mmHg", fluid=fluid.name)


def wet_zero_offset(column: Quantity, fluid: Fluid) -> SensorOffset:
    """Offset in mmHg after zeroing under a ``column`` (a height) of ``fluid``: it reads low by that.
    Source: physics."""
    return SensorOffset(value=-hydrostatic_head(column, fluid).value, unit="mmHg", fluid=fluid.name)
