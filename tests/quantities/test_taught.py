"""Formulas that are explained and not offered as a sum: the trade's worked values, within half a per cent."""

from __future__ import annotations

from typing import Any

import pytest

from stepwell.quantities.formula import Refused
from stepwell.quantities.formulas import FORMULAS, TAUGHT
from stepwell.quantities.french import outer_diameter
from stepwell.quantities.losses import air_through_port, time_to_lose
from stepwell.quantities.oxygen_content import (
    Recirculation,
    membrane_transfer,
    oxygen_content,
    oxygen_delivery,
    recirculation,
)
from stepwell.quantities.patient_figures import (
    blood_volume,
    blood_volume_by_weight,
    body_surface_dubois,
    body_surface_mosteller,
    cardiac_index,
    flow_target,
    haemodilution,
)
from stepwell.quantities.pump_pressure import backflow, oxygenator_resistance, speed_to_hold
from stepwell.quantities.sweep import blender_split, gas_ratio
from stepwell.quantities.units import UnitMismatchError, quantity
from stepwell.quantities.warmth import cold_prime, cooling_rate, evaporative_loss, tube_loss


def q(value: float | str, unit: str) -> Any:
    return quantity(value if isinstance(value, int) else str(value), unit)


# What is asked, the function's answer, the trade's figure.
GOLDEN: tuple[tuple[str, float, float], ...] = (
    ("haemodilution", haemodilution(0.35, q(4900, "mL"), q(587, "mL")).value, 0.313),
    ("blood volume by weight", blood_volume_by_weight(q(70, "kg")).value, 4.90),
    ("blood volume of a man", blood_volume("man", q("1.75", "m"), q(70, "kg")).value, 4.82),
    ("blood volume of a woman", blood_volume("woman", q("1.65", "m"), q(60, "kg")).value, 3.77),
    ("oxygen content, arterial", oxygen_content(10, 1.0, q(400, "mmHg")).value, 14.6),
    ("oxygen content, venous", oxygen_content(10, 0.70, q(40, "mmHg")).value, 9.5),
    ("content behind delivery", oxygen_content(10, 0.98, q(90, "mmHg")).value, 13.40),
    ("oxygen delivery", oxygen_delivery(q(5, "L/min"), 13.40).value, 670),
    ("membrane transfer", membrane_transfer(q("4.5", "L/min"), 9.5, 14.6).value, 229.5),
    ("flow target", flow_target(q(70, "kg")).value, 4.2),
    ("surface after DuBois", body_surface_dubois(q(175, "cm"), q(70, "kg")).value, 1.848),
    ("surface after Mosteller", body_surface_mosteller(q(175, "cm"), q(70, "kg")).value, 1.845),
    ("smaller, after DuBois", body_surface_dubois(q(165, "cm"), q(65, "kg")).value, 1.716),
    ("smaller, after Mosteller", body_surface_mosteller(q(165, "cm"), q(65, "kg")).value, 1.726),
    ("cardiac index", cardiac_index(q("4.5", "L/min"), q("1.845", "m²")).value, 2.44),
    ("resistance, first day", oxygenator_resistance(q(30, "mmHg"), q("4.0", "L/min")).value, 7.5),
    ("resistance, sixth day", oxygenator_resistance(q(56, "mmHg"), q("4.2", "L/min")).value, 13.3),
    ("oxygen of a blender", blender_split(q(6, "L/min"), 0.60).oxygen, 2.96),
    ("air of a blender", blender_split(q(6, "L/min"), 0.60).air, 3.04),
    ("gas ratio", gas_ratio(q(3, "L/min"), q(4, "L/min")).value, 0.75),
    ("water with the gas, a minute", evaporative_loss(q(6, "L/min")).per_minute, 0.264),
    ("water with the gas, a day", evaporative_loss(q(6, "L/min")).per_day, 380),
    ("heat with the gas", evaporative_loss(q(6, "L/min")).heat, 10.6),
    ("heat of the tubes", tube_loss(q("14.3", "mm"), q(4, "m"), 15).value, 27),
    ("cooling", cooling_rate(q(50, "W"), q(70, "kg")).value, 0.74),
    ("blood after a cold prime", cold_prime(q("4.9", "L"), q(37, "°C"), q(587, "mL"), q(20, "°C"), q(70, "kg")).blood, 35.2),
    ("air through 1 mm", air_through_port(q(100, "mmHg"), q(1, "mm")).value, 4.2),
    ("air through 2 mm", air_through_port(q(100, "mmHg"), q(2, "mm")).value, 16.9),
    ("time to lose 30 %", time_to_lose(0.30, q("4.9", "L"), q("4.5", "L/min")).value, 19.6),
    ("speed for 80 mmHg", speed_to_hold(q(80, "mmHg"), q(400, "mmHg"), q(3500, "rpm")).value, 1565),
    ("speed for 100 mmHg", speed_to_hold(q(100, "mmHg"), q(400, "mmHg"), q(3500, "rpm")).value, 1750),
    ("backflow", backflow(q(60, "mmHg"), q(5, "mmHg"), 62.5).value, 0.88),
    ("25 Fr", outer_diameter(q(25, "Fr")).value, 8.33),
)  # fmt: skip


@pytest.mark.parametrize(("found", "wanted"), [row[1:] for row in GOLDEN], ids=[row[0] for row in GOLDEN])
def test_the_worked_value_of_the_trade(found: float, wanted: float) -> None:
    assert found == pytest.approx(wanted, rel=0.005)


def test_rounded_as_the_trade_prints_them() -> None:
    assert round(cold_prime(q("4.9", "L"), q(37, "°C"), q(587, "mL"), q(20, "°C"), q(70, "kg")).body, 2) == 0.17
    assert round(1 - haemodilution(0.35, q(4900, "mL"), q(587, "mL")).value / 0.35, 3) == 0.107
    rise = oxygenator_resistance(q(56, "mmHg"), q("4.2", "L/min")).value / 7.5
    assert round(rise - 1, 2) == 0.78
    assert round(air_through_port(q(100, "mmHg"), q(1, "mm")).value) == 4
    assert round(air_through_port(q(100, "mmHg"), q(2, "mm")).value) == 17
    assert round(time_to_lose(0.30, q("4.9", "L"), q("4.5", "L/min")).value) == 20


def test_recirculation_and_where_it_is_not_defined() -> None:
    found = recirculation(80, 65, 100, q("4.5", "L/min"))
    assert isinstance(found, Recirculation)
    assert found.fraction == pytest.approx(0.429, rel=0.005)
    assert found.effective == pytest.approx(2.57, rel=0.005)
    assert isinstance(recirculation(80, 100, 100, q("4.5", "L/min")), Refused)


def test_what_makes_no_sense_is_no_figure() -> None:
    with pytest.raises(UnitMismatchError):
        blender_split(q(6, "L/min"), 0.1)
    with pytest.raises(UnitMismatchError):
        haemodilution(35, q(4900, "mL"), q(587, "mL"))
    with pytest.raises(UnitMismatchError):
        backflow(q(60, "mmHg"), q(5, "mmHg"), 0)
    with pytest.raises(UnitMismatchError):
        time_to_lose(2, q("4.9", "L"), q("4.5", "L/min"))
    assert backflow(q(5, "mmHg"), q(60, "mmHg"), 62.5).value == 0


def test_a_patients_figure_is_no_sum_of_the_site() -> None:
    """What the site offers as a sum is about equipment; a figure of a patient is for trainers and says so."""
    assert not {entry.name for entry in FORMULAS} & {entry.name for entry in TAUGHT}
    of_patients = ("haemo", "blood-volume", "flow-target", "body-surface", "cardiac", "oxygen-content", "oxygen-delivery")
    for entry in TAUGHT:
        if entry.name.startswith(of_patients):
            assert entry.validity.startswith("For trainers"), entry.name
