"""How long a battery carries the equipment."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Formula
from stepwell.quantities.units import to

FORMULA = Formula(
    name="battery-endurance",
    title="Endurance of a battery",
    equation="t = energy x usable share x health / power; at least twice the time off mains",
    source="Energy over power; the factor of two is common practice without a source",
    mark="physics",
    validity="A steady load at room temperature. Heaters usually do not run from a battery (common"
    " practice). Prove it by running.",
    example="150 Wh, 80 % usable, 60 W: 2.0 h",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryEndurance:
    """``value`` in ``unit``; ``energy`` usable in Wh."""

    value: float
    unit: str
    energy: float

    def enough_for(self, planned: Quantity, *, factor: float = 2.0) -> bool:
        """True if it lasts ``factor`` times the ``planned`` time off mains."""
        return self.value >= factor * to(planned, "min")


def battery_endurance(
    energy: Quantity, usable: Quantity, power: Quantity, *, health: Quantity | None = None
) -> BatteryEndurance:
    """Minutes from ``energy`` of which a ``usable`` share (in %) is drawn at ``power``; ``health`` in % of
    new."""
    share = positive(usable, "%", "usable share") / 100
    if health is not None:
        share *= positive(health, "%", "health") / 100
    watt_hours = positive(energy, "Wh", "energy") * share
    return BatteryEndurance(value=watt_hours / positive(power, "W", "power") * 60, unit="min", energy=watt_hours)
