"""Flows: gravity fill with its Reynolds number, the laminar limit, transit time. Worked examples: physics,
recomputed."""

from __future__ import annotations

from math import pi

import pytest

from stepwell.quantities.fluids import BLOOD, SALINE, Fluid, column_pressure
from stepwell.quantities.formula import Refused
from stepwell.quantities.gravity_fill import PoiseuilleFlow, friction, gravity_fill, poiseuille
from stepwell.quantities.laminar import laminar_limit, reynolds_number
from stepwell.quantities.transit import transit_time
from stepwell.quantities.units import quantity

HEAD = quantity(60, "cm")
HEAD_PRESSURE = quantity(column_pressure(0.6, SALINE), "Pa")


def test_gravity_fill_of_a_wide_line() -> None:
    fill = gravity_fill(HEAD, quantity("0.375", "in"), quantity(2, "m"), SALINE, losses=2.5)
    assert round(fill.value, 1) == 4.9
    assert fill.reynolds == pytest.approx(10_950, rel=0.005)
    assert (fill.unit, fill.regime, fill.seconds) == ("L/min", "turbulent", None)


def test_gravity_fill_of_a_quarter_inch_line() -> None:
    assert round(gravity_fill(HEAD, quantity("0.25", "in"), quantity("1.5", "m"), SALINE).value, 1) == 2.0


@pytest.mark.parametrize(("bore", "length"), [(3, 2), (4, 2), (6.35, 1.5), (9.525, 2), (12.7, 1), (2, 1.5)])
def test_the_flow_balances_the_head(bore: float, length: float) -> None:
    """The answer put back into the balance gives the head again, except in the gap between the two laws of
    friction."""
    fill = gravity_fill(HEAD, quantity(bore, "mm"), quantity(length, "m"), SALINE)
    area = pi * (bore / 2000) ** 2
    assert fill.value == pytest.approx(fill.velocity * area * 60_000)
    lost = SALINE.density * fill.velocity**2 / 2 * (friction(fill.reynolds) * length / (bore / 1000) + 2.5)
    if fill.regime != "between":
        assert lost == pytest.approx(column_pressure(0.6, SALINE), rel=1e-6)


def test_a_higher_bag_never_fills_slower() -> None:
    flows = [gravity_fill(quantity(h, "cm"), quantity(4, "mm"), quantity(2, "m"), SALINE).value for h in range(5, 200, 5)]
    assert flows == sorted(flows)


def test_least_time_to_fill() -> None:
    fill = gravity_fill(HEAD, quantity("0.25", "in"), quantity("1.5", "m"), SALINE, volume=quantity(587, "mL"))
    assert fill.seconds == pytest.approx(0.587 / fill.value * 60)


@pytest.mark.parametrize(("bore", "length", "said"), [("0.375", 2, "35."), ("0.25", 1.5, "")])
def test_poiseuille_is_refused_where_it_is_nonsense(bore: str, length: float, said: str) -> None:
    refused = poiseuille(HEAD_PRESSURE, quantity(bore, "in"), quantity(length, "m"), SALINE)
    assert isinstance(refused, Refused)
    assert refused.reynolds is not None
    assert refused.reynolds > 2000
    assert said in refused.reason


def test_poiseuille_where_it_holds() -> None:
    flow = poiseuille(quantity(10, "mmHg"), quantity(2, "mm"), quantity(1, "m"), BLOOD)
    assert isinstance(flow, PoiseuilleFlow)
    by_hand = pi * 0.001**4 * 1333.22 / (8 * 0.0035 * 1) * 60_000
    assert flow.value == pytest.approx(by_hand, rel=1e-4)
    assert flow.reynolds < 2000


@pytest.mark.parametrize(
    ("bore", "fluid", "limit"),
    [("0.25", BLOOD, 1.98), ("0.375", BLOOD, 2.96), ("0.5", BLOOD, 3.95), ("0.375", SALINE, 0.89)],
)
def test_laminar_limit(bore: str, fluid: Fluid, limit: float) -> None:
    result = laminar_limit(quantity(bore, "in"), fluid)
    assert round(result.value, 2) == limit
    assert reynolds_number(quantity(result.value, "L/min"), quantity(bore, "in"), fluid) == pytest.approx(2000)


def test_reynolds_number_of_full_flow() -> None:
    assert reynolds_number(quantity("4.5", "L/min"), quantity("0.375", "in"), BLOOD) == pytest.approx(3036, rel=0.001)


def test_transit_time() -> None:
    whole = transit_time(quantity(587, "mL"), quantity("4.5", "L/min"))
    assert (round(whole.value, 1), whole.unit) == (7.8, "s")
    assert whole.earliest == whole.value / 2
    assert round(transit_time(quantity("142.5", "mL"), quantity("4.5", "L/min")).value, 1) == 1.9
