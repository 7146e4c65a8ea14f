"""A number with its unit, as the author wrote it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Quantity:
    """``value`` keeps the author's digits; ``unit`` is one of the symbols that stepwell.quantities.units knows."""

    value: Decimal
    unit: str

    def __str__(self) -> str:
        return f"{self.value:f} {self.unit}"
