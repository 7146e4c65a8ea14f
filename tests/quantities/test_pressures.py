"""Pressures of standing liquid: head, sensors at the wrong level, sensors zeroed wet, an oxygenator held
too high.

Worked examples: hydrostatics, recomputed by hand with g = 9.80665 m/s² and 133.322 Pa per mmHg.
"""

from __future__ import annotations

import pytest

from stepwell.quantities.fluids import BLOOD, SALINE, WATER, Fluid
from stepwell.quantities.head import height_margin, hydrostatic_head
from stepwell.quantities.oxygenator_height import oxygenator_height
from stepwell.quantities.sensor_offset import sensor_offset, wet_zero_offset
from stepwell.quantities.units import quantity


@pytest.mark.parametrize(("fluid", "per_cm", "at_60"), [(WATER, 0.7356, 44.1), (SALINE, 0.739, 44.3), (BLOOD, 0.780, 46.8)])
def test_head(fluid: Fluid, per_cm: float, at_60: float) -> None:
    assert hydrostatic_head(quantity(1, "cm"), fluid).value == pytest.approx(per_cm, abs=0.0006)
    head = hydrostatic_head(quantity(60, "cm"), fluid)
    assert (round(head.value, 1), head.unit, head.fluid, head.height) == (at_60, "mmHg", fluid.name, 60)


def test_height_margin_has_a_sign() -> None:
    up, down = quantity(170, "cm"), quantity("1.1", "m")
    assert round(height_margin(up, down, WATER).value, 1) == 44.1
    assert round(height_margin(down, up, WATER).value, 1) == -44.1
    assert height_margin(up, up, BLOOD).value == 0


@pytest.mark.parametrize(("fluid", "offset"), [(WATER, 14.7), (BLOOD, 15.6)])
def test_a_sensor_20_cm_low_reads_high(fluid: Fluid, offset: float) -> None:
    result = sensor_offset(quantity(100, "cm"), quantity(80, "cm"), fluid)
    assert round(result.value, 1) == offset
    assert result.reading(quantity(-60, "mmHg")) == pytest.approx(-60 + result.value)


def test_a_sensor_zeroed_wet_reads_low() -> None:
    stored = wet_zero_offset(quantity(60, "cm"), WATER)
    assert round(stored.reading(quantity(-60, "mmHg"))) == -104
    assert round(stored.reading(quantity(300, "mmHg"))) == 256
    assert round(stored.true_at(quantity(300, "mmHg"))) == 344


def test_an_oxygenator_held_high_draws_gas() -> None:
    high = oxygenator_height(quantity(0, "mmHg"), quantity(80, "cm"), quantity(110, "cm"))
    assert (round(high.value), high.draws_gas, high.unit) == (-23, True, "mmHg")
    low = oxygenator_height(quantity(0, "mmHg"), quantity(80, "cm"), quantity(50, "cm"))
    assert (round(low.value), low.draws_gas) == (23, False)
