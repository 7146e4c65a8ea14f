"""French gauge of cannulas."""

from __future__ import annotations

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Figure, Formula

FORMULA = Formula(
    name="french",
    title="Outer diameter of a cannula",
    equation="OD = Fr / 3",
    source="Definition of the French gauge",
    mark="definition",
    validity="The outer diameter; the bore is the maker's figure.",
    example="25 Fr: 8.33 mm",
)


def outer_diameter(gauge: Quantity) -> Figure:
    """mm for a gauge in Fr."""
    return Figure(value=positive(gauge, "mm", "gauge"), unit="mm")
