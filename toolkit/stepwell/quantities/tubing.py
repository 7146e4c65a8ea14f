"""Volume of a length of tubing."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Formula

FORMULA = Formula(
    name="tubing-volume",
    title="Volume of a tube",
    equation="V = pi (d/2)^2 L",
    source="Geometry of a cylinder",
    mark="physics",
    validity="A round tube of even bore. A bore that is 0.1 mm off changes 3/8 in tubing by 2.1 %.",
    example="3/8 in: 71.26 mL per metre",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TubingVolume:
    """``value`` in ``unit``; ``per_metre`` in mL/m; ``spread_percent`` is the change for a bore 0.1 mm
    off."""

    value: float
    unit: str
    per_metre: float
    spread_percent: float


def tubing_volume(bore: Quantity, length: Quantity) -> TubingVolume:
    """Volume in mL of a tube of inner diameter ``bore`` and ``length`` (both lengths). Source: geometry."""
    bore_mm, length_m = positive(bore, "mm", "bore"), positive(length, "m", "length")
    per_metre = pi * (bore_mm / 2) ** 2
    return TubingVolume(
        value=per_metre * length_m,
        unit="mL",
        per_metre=per_metre,
        spread_percent=((1 + 0.1 / bore_mm) ** 2 - 1) * 100,
    )
