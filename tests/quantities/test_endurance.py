"""Endurance of cylinders and batteries, and what a move needs. Sizes: see the marks in the module; sums
recomputed by hand."""

from __future__ import annotations

import pytest

from stepwell.quantities.battery import battery_endurance
from stepwell.quantities.cylinder import (
    Cylinder,
    Region,
    by_water_capacity,
    cylinder_endurance,
    cylinders,
    find_cylinder,
)
from stepwell.quantities.oxygen_need import oxygen_need
from stepwell.quantities.units import UnitMismatchError, quantity, to

SIX = quantity(6, "L/min")
NOTHING = quantity(0, "bar")


def known(region: Region, name: str) -> Cylinder:
    found = find_cylinder(region, name)
    assert found is not None
    return found


def test_american_factor() -> None:
    left = cylinder_endurance(known(Region.US, "E"), quantity(2000, "psi"), SIX, quantity(200, "psi"))
    assert (round(left.value), left.unit, left.region) == (84, "min", Region.US)


def test_water_capacity() -> None:
    cylinder = by_water_capacity(quantity(5, "L"), quantity(200, "bar"))
    assert round(cylinder_endurance(cylinder, quantity(200, "bar"), SIX, quantity(20, "bar")).value) == 150


def test_british_contents_half_full() -> None:
    left = cylinder_endurance(known(Region.UK, "CD"), quantity(115, "bar"), SIX, NOTHING)
    assert (round(left.value), round(left.litres)) == (38, 230)


def test_one_letter_two_countries_two_endurances() -> None:
    pressure = quantity(100, "bar")
    british = cylinder_endurance(known(Region.UK, "D"), pressure, SIX, NOTHING)
    american = cylinder_endurance(known(Region.US, "D"), pressure, SIX, NOTHING)
    assert british.cylinder == american.cylinder == "D"
    assert british.value != pytest.approx(american.value, rel=0.02)


def test_the_region_is_required() -> None:
    with pytest.raises(TypeError):
        find_cylinder("D")  # type: ignore[call-arg, arg-type]
    assert find_cylinder(Region.EU, "D") is None


def test_american_sizes_lie_in_the_ranges_seen() -> None:
    """Contents at 2000 psi (from memory as the full pressure) lie near the ranges of a public reference
    page."""
    contents = {name: known(Region.US, name).contents for name in ("D", "E", "M", "H")}
    assert 300 <= contents["D"] <= 415
    assert 550 <= contents["E"] <= 682
    assert 3000 <= contents["M"] <= 3450
    assert 6000 <= contents["H"] <= 7100


def test_a_cylinder_below_its_reserve_gives_nothing() -> None:
    assert cylinder_endurance(known(Region.UK, "CD"), quantity(10, "bar"), SIX, quantity(20, "bar")).value == 0


def test_a_pressure_that_the_size_cannot_hold_is_refused() -> None:
    with pytest.raises(UnitMismatchError, match="UK D"):
        cylinder_endurance(known(Region.UK, "D"), quantity(230, "bar"), SIX, NOTHING)


def test_every_size_names_its_mark() -> None:
    assert {entry.mark for entry in cylinders()} == {"seen", "from memory", "physics"}
    assert len({(entry.region, entry.name) for entry in cylinders()}) == len(cylinders())
    assert all(to(entry.full, "bar") > 100 for entry in cylinders())


def test_oxygen_for_a_move() -> None:
    need = oxygen_need(SIX, quantity(90, "min"))
    assert (need.value, need.unit) == (1080, "L")
    assert need.cylinders_of(known(Region.UK, "F")) == 1
    assert need.cylinders_of(known(Region.UK, "CD")) == 3
    assert oxygen_need(SIX, quantity(90, "min"), ventilator=quantity(6, "L/min")).value == 2160


def test_battery() -> None:
    battery = battery_endurance(quantity(150, "Wh"), quantity(80, "%"), quantity(60, "W"))
    assert battery.value == pytest.approx(120)
    assert battery.unit == "min"
    assert battery.enough_for(quantity(1, "h"))
    assert not battery.enough_for(quantity(61, "min"))


def test_an_old_battery_lasts_less() -> None:
    worn = battery_endurance(quantity(150, "Wh"), quantity(80, "%"), quantity(60, "W"), health=quantity(50, "%"))
    assert worn.value == pytest.approx(60)
