"""Every formula of the package, in the order in which the site and ``explain`` list them.

``FORMULAS`` are the sums about equipment that the site offers. ``TAUGHT`` are explained only: sums with figures of a
patient, and orders of magnitude, which belong into trainers' material and neither on a card nor beside a bed.
"""

from __future__ import annotations

from stepwell.quantities import (
    bags,
    battery,
    cylinder,
    french,
    gravity_fill,
    head,
    laminar,
    losses,
    oxygen_content,
    oxygen_need,
    oxygenator_height,
    patient_figures,
    prime,
    pump_pressure,
    sensor_offset,
    sweep,
    transit,
    tubing,
    warmth,
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

TAUGHT: tuple[Formula, ...] = (
    french.FORMULA,
    pump_pressure.SPEED_TO_HOLD,
    pump_pressure.BACKFLOW,
    pump_pressure.RESISTANCE,
    losses.AIR_THROUGH_PORT,
    losses.TIME_TO_LOSE,
    sweep.BLENDER,
    sweep.GAS_RATIO,
    warmth.EVAPORATIVE_LOSS,
    warmth.TUBE_LOSS,
    warmth.COOLING,
    warmth.COLD_PRIME,
    patient_figures.HAEMODILUTION,
    patient_figures.BLOOD_VOLUME,
    patient_figures.FLOW_TARGET,
    patient_figures.BODY_SURFACE,
    patient_figures.CARDIAC_INDEX,
    oxygen_content.OXYGEN_CONTENT,
    oxygen_content.OXYGEN_DELIVERY,
    oxygen_content.MEMBRANE_TRANSFER,
    oxygen_content.RECIRCULATION,
)


def formula(name: str) -> Formula | None:
    """The formula called ``name``, or None."""
    return next((entry for entry in (*FORMULAS, *TAUGHT) if entry.name == name), None)
