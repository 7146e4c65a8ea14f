"""How soon what is seen in one place arrives in another."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Formula

FORMULA = Formula(
    name="transit-time",
    title="Transit time",
    equation="t = V / Q",
    source="Volume over flow",
    mark="physics",
    validity="The mean. In laminar flow the middle of the stream arrives in half of it, so less time is left to clamp.",
    example="587 mL at 4.5 L/min: 7.8 s for the whole circuit, 1.9 s for 2 m of 3/8 in",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TransitTime:
    """``value`` in ``unit``: the mean; ``earliest``: the middle of a laminar stream, half of it."""

    value: float
    unit: str
    earliest: float


def transit_time(volume: Quantity, flow: Quantity) -> TransitTime:
    """Seconds in which ``flow`` moves through ``volume``. Source: physics."""
    seconds = positive(volume, "L", "volume") / positive(flow, "L/min", "flow") * 60
    return TransitTime(value=seconds, unit="s", earliest=seconds / 2)
