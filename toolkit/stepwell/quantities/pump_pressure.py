"""A centrifugal pump against a pressure: the speed that holds, what comes back where none does, and the set's resistance."""

from __future__ import annotations

from math import sqrt

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Figure, Formula
from stepwell.quantities.units import UnitMismatchError, to

SPEED_TO_HOLD = Formula(
    name="speed-to-hold",
    title="Speed that holds against a pressure",
    equation="n = n_known sqrt(P / P_known)",
    source="Shut-off head grows with the square of the speed",
    mark="physics",
    validity="No flow, one pump head. The pump's own curve is the unit's data; a margin above it is the unit's choice.",
    example="a head of 400 mmHg at 3,500 rpm: 1,565 rpm for 80 mmHg, 1,750 rpm for 100 mmHg",
)
BACKFLOW = Formula(
    name="backflow",
    title="Flow back through a pump that stands",
    equation="Q = (P_artery - P_vein) / R",
    source="Pressure over resistance",
    mark="physics",
    validity="An order of magnitude: the resistance of set and cannulas changes with the flow.",
    example="55 mmHg over 62.5 mmHg/(L/min): 0.9 L/min",
)
RESISTANCE = Formula(
    name="oxygenator-resistance",
    title="Resistance of the oxygenator",
    equation="r = (P_before - P_after) / Q",
    source="Lubnow et al., PLoS One 2014;9:e112316: a rise of 30 to 50 % points to clots",
    mark="seen",
    validity="Both sensors at one height, else correct 0.74 to 0.78 mmHg for each cm; one flow and one blood.",
    example="30 mmHg at 4.0 L/min: 7.5; 56 mmHg at 4.2 L/min: 13.3, a rise of 78 %",
)


def speed_to_hold(pressure: Quantity, known_pressure: Quantity, known_speed: Quantity) -> Figure:
    """Speed in rpm at which the shut-off head equals ``pressure``, from one known point of the pump's curve."""
    ratio = positive(pressure, "mmHg", "pressure") / positive(known_pressure, "mmHg", "known pressure")
    return Figure(value=positive(known_speed, "rpm", "known speed") * sqrt(ratio), unit="rpm")


def backflow(artery: Quantity, vein: Quantity, resistance: float) -> Figure:
    """L/min that run back from ``artery`` to ``vein``; ``resistance`` in mmHg/(L/min). 0 where the vein presses as hard."""
    if not resistance > 0:
        raise UnitMismatchError(f"the resistance must be above 0 mmHg/(L/min), not {resistance}")
    return Figure(value=max(0.0, to(artery, "mmHg") - to(vein, "mmHg")) / resistance, unit="L/min")


def oxygenator_resistance(gradient: Quantity, flow: Quantity) -> Figure:
    """Resistance in mmHg/(L/min) from the pressure difference over the oxygenator and the flow through it."""
    return Figure(value=to(gradient, "mmHg") / positive(flow, "L/min", "flow"), unit="mmHg/(L/min)")
