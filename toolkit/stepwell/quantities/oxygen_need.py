"""How much oxygen a move needs, and how many cylinders that is."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from stepwell.model.quantity import Quantity
from stepwell.quantities.cylinder import Cylinder
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Formula
from stepwell.quantities.units import to

FORMULA = Formula(
    name="oxygen-need",
    title="Oxygen needed for a move",
    equation="V = factor x (sweep + ventilator) x time; the factor is 2 unless the unit sets another",
    source="The rule of twice the journey, from open teaching notes on oxygen for transfer",
    mark="seen",
    validity="Oxygen through the flowmeter only. A blender's bleed and a ventilator's drive gas come on top (from memory).",
    example="6 L/min for 90 min: 1,080 L, one UK F (1,360 L) or three CD (1,380 L)",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OxygenNeed:
    """``value`` in ``unit``, with the ``factor`` that it contains."""

    value: float
    unit: str
    factor: float

    def cylinders_of(self, size: Cylinder) -> int:
        """Full cylinders of ``size`` that hold the need."""
        return max(1, ceil(self.value / size.contents - 1e-9))


def oxygen_need(
    sweep: Quantity, duration: Quantity, *, ventilator: Quantity | None = None, factor: float = 2.0
) -> OxygenNeed:
    """Litres for ``sweep`` (and ``ventilator``) flows over ``duration``, times ``factor``. Source: rule of
    twice, seen."""
    flow = positive(sweep, "L/min", "sweep") + (to(ventilator, "L/min") if ventilator else 0.0)
    return OxygenNeed(value=factor * flow * positive(duration, "min", "duration"), unit="L", factor=factor)
