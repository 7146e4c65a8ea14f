"""Oxygen in blood, what is carried and what the membrane adds, and recirculation. For trainers' material only."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Figure, Formula, Refused
from stepwell.quantities.units import to

BOUND = 1.34
"""mL of oxygen that a gram of haemoglobin binds; 1.36 and 1.39 are in use too (from memory)."""
DISSOLVED = 0.003
"""mL of oxygen in a decilitre of blood for each mmHg (Bartlett 2016)."""

OXYGEN_CONTENT = Formula(
    name="oxygen-content",
    title="Oxygen in blood",
    equation="C = 1.34 Hb S + 0.003 PO2",
    source="Bartlett, J Intensive Care Med 2016 (doi 10.1177/0885066616641383) for 0.003; 1.34 from memory",
    mark="seen",
    validity="For trainers. Hb in g/dL, PO2 in mmHg, C in mL/dL.",
    example="Hb 10: 14.6 at a saturation of 1.00 and 400 mmHg, 9.5 at 0.70 and 40 mmHg",
)
OXYGEN_DELIVERY = Formula(
    name="oxygen-delivery",
    title="Oxygen delivery",
    equation="DO2 = 10 CO C_artery",
    source="Flow times content",
    mark="physics",
    validity="For trainers.",
    example="5 L/min, Hb 10, saturation 0.98, 90 mmHg: 13.40 mL/dL, 670 mL/min",
)
MEMBRANE_TRANSFER = Formula(
    name="membrane-transfer",
    title="Oxygen that the membrane adds",
    equation="VO2 = 10 Q (C_after - C_before)",
    source="Bartlett, J Intensive Care Med 2016 (doi 10.1177/0885066616641383)",
    mark="seen",
    validity="For trainers. Both samples at the same moment and at the same flow.",
    example="4.5 L/min, 5.10 mL/dL more: 229.5 mL/min",
)
RECIRCULATION = Formula(
    name="recirculation",
    title="Recirculation in support between veins",
    equation="R = (S_before - S_vein) / (S_after - S_vein); Q_effective = Q (1 - R)",
    source="Figure 1 of PMC2943384",
    mark="seen",
    validity="For trainers. The true venous saturation can't be measured directly; not defined where it equals S_after.",
    example="80, 65 and 100 %: 42.9 %; of 4.5 L/min 2.57 L/min are effective",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recirculation:
    """``fraction`` of the flow that is drawn in again; ``effective`` flow in ``unit``."""

    fraction: float
    effective: float
    unit: str


def oxygen_content(haemoglobin: float, saturation: float, tension: Quantity) -> Figure:
    """mL/dL from haemoglobin in g/dL, saturation (0 to 1) and oxygen tension."""
    return Figure(value=BOUND * haemoglobin * saturation + DISSOLVED * to(tension, "mmHg"), unit="mL/dL")


def oxygen_delivery(flow: Quantity, content: float) -> Figure:
    """mL/min that ``flow`` carries at ``content`` mL/dL."""
    return Figure(value=10 * positive(flow, "L/min", "flow") * content, unit="mL/min")


def membrane_transfer(flow: Quantity, before: float, after: float) -> Figure:
    """mL/min that the membrane adds, from the contents (mL/dL) before and after it."""
    return Figure(value=10 * positive(flow, "L/min", "flow") * (after - before), unit="mL/min")


def recirculation(before: float, vein: float, after: float, flow: Quantity) -> Recirculation | Refused:
    """From the saturations (one unit for all three) before and after the oxygenator and in the vein."""
    if after <= vein:
        return Refused(reason="Not defined where the saturation after the oxygenator is not above that of the vein.")
    fraction = (before - vein) / (after - vein)
    return Recirculation(fraction=fraction, effective=positive(flow, "L/min", "flow") * (1 - fraction), unit="L/min")
