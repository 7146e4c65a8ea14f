"""How many bags of prime a circuit needs."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Formula
from stepwell.quantities.units import to

FORMULA = Formula(
    name="prime-bags",
    title="Bags of prime",
    equation="n = ceil(V (1 + waste) / bag)",
    source="Arithmetic; the share that is wasted in flushing and bleeding is the unit's figure",
    mark="common practice",
    validity="The waste is an estimate: keep one bag more at hand than the sum says.",
    example="587 mL with half as much again wasted = 881 mL: one bag of 1 L; keep two",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PrimeBags:
    """``value`` bags are used and ``keep`` should be at hand; ``needed`` mL include the waste."""

    value: int
    unit: str
    keep: int
    needed: float


def prime_bags(prime: Quantity, bag: Quantity, waste: Quantity) -> PrimeBags:
    """Bags of volume ``bag`` for a ``prime`` volume with a ``waste`` in % of it. Source: arithmetic,
    common practice."""
    share = to(waste, "%") / 100
    needed = positive(prime, "mL", "prime") * (1 + max(share, 0.0))
    # A rounding error of the binary fractions must not cost a bag.
    number = max(1, ceil(needed / positive(bag, "mL", "bag") - 1e-9))
    return PrimeBags(value=number, unit="pieces", keep=number + 1, needed=needed)
