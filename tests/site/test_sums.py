"""The sums on the site against the functions of ``quantities``, on a grid of each sum's fields."""

from __future__ import annotations

import html
import random
import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from stepwell.quantities.bags import prime_bags
from stepwell.quantities.battery import battery_endurance
from stepwell.quantities.cylinder import cylinder_endurance, cylinders
from stepwell.quantities.fluids import FLUIDS
from stepwell.quantities.formula import Refused
from stepwell.quantities.formulas import FORMULAS
from stepwell.quantities.gravity_fill import gravity_fill, poiseuille
from stepwell.quantities.head import hydrostatic_head
from stepwell.quantities.laminar import laminar_limit
from stepwell.quantities.oxygen_need import oxygen_need
from stepwell.quantities.oxygenator_height import oxygenator_height
from stepwell.quantities.prime import Tube, Vessel, circuit_prime
from stepwell.quantities.sensor_offset import sensor_offset, wet_zero_offset
from stepwell.quantities.sum_table import sums
from stepwell.quantities.sums import Given, Pick, Sum
from stepwell.quantities.transit import transit_time
from stepwell.quantities.tubing import tubing_volume
from stepwell.quantities.units import UnitMismatchError, quantity
from stepwell.render.site.build import SiteResult
from stepwell.render.site.sum_script import javascript
from tests.site.conftest import Tab

Numbers = Mapping[str, float]
Real = Mapping[str, float | None]
"""Results by name; None where the function gives none."""
POINTS = 240
SUMS = {one.formula.name: one for one in sums()}


def q(value: float, unit: str) -> Any:
    return quantity(value, unit)


def _tube(v: Numbers) -> Real:
    told = tubing_volume(q(v["bore"], "mm"), q(v["length"], "m"))
    return {"value": told.value, "metre": told.per_metre, "spread": told.spread_percent}


def _prime(v: Numbers) -> Real:
    tubes = tuple(
        Tube(name=long, bore=q(v[bore], "mm"), length=q(v[long], "m"))
        for bore, long in (("bore", "length"), ("other", "rest"))
        if v[long] > 0
    )
    vessels = tuple(Vessel(name=name, volume=q(v[name], "mL")) for name in ("oxygenator", "pump", "more") if v[name] > 0)
    told = circuit_prime(tubes, vessels)
    return {"value": told.value, "tubes": sum(share for name, share in told.shares if name in ("length", "rest"))}


def _bags(v: Numbers) -> Real:
    told = prime_bags(q(v["prime"], "mL"), q(v["bag"], "mL"), q(v["waste"], "%"))
    return {"value": told.value, "keep": told.keep, "needed": told.needed}


def _gravity(v: Numbers) -> Real:
    liquid = FLUIDS[int(v["fluid"])]
    long = (q(v["bore"], "mm"), q(v["length"], "m"), liquid)
    told = gravity_fill(q(v["height"], "cm"), *long, losses=v["losses"], volume=q(v["volume"], "mL"))
    plain = poiseuille(q(liquid.density * 9.80665 * v["height"] / 100, "Pa"), *long)
    if told.reynolds > 100_000:
        return {}
    return {
        "value": told.value,
        "reynolds": told.reynolds,
        "seconds": told.seconds,
        "plain_flow": None if isinstance(plain, Refused) else plain.value,
    }


def _wet(v: Numbers) -> Real:
    told = wet_zero_offset(q(v["column"], "cm"), FLUIDS[int(v["fluid"])])
    return {"value": told.value, "behind": told.true_at(q(v["alarm"], "mmHg"))}


def _lasts(v: Numbers) -> Real:
    size = cylinders()[int(v["cylinder"])]
    try:
        told = cylinder_endurance(size, q(v["pressure"], "bar"), q(v["flow"], "L/min"), q(v["reserve"], "bar"))
    except UnitMismatchError:
        return {}
    return {"value": told.value, "half": told.value / 2, "litres": told.litres}


def _need(v: Numbers) -> Real:
    told = oxygen_need(q(v["flow"], "L/min"), q(v["time"], "min"), factor=v["factor"])
    return {"value": told.value, "pieces": told.cylinders_of(cylinders()[int(v["cylinder"])])}


def _cells(v: Numbers) -> Real:
    told = battery_endurance(q(v["energy"], "Wh"), q(v["usable"], "%"), q(v["power"], "W"), health=q(v["health"], "%"))
    return {"value": told.value, "half": told.value / 2}


def _transit(v: Numbers) -> Real:
    told = transit_time(q(v["volume"], "mL"), q(v["flow"], "L/min"))
    return {"value": told.value, "earliest": told.earliest}


def _height(v: Numbers) -> Real:
    told = oxygenator_height(q(0, "mmHg"), q(v["patient"], "cm"), q(v["oxygenator"], "cm"), FLUIDS[int(v["fluid"])])
    return {"value": told.value}


REAL: Mapping[str, Callable[[Numbers], Real]] = {
    "tubing-volume": _tube,
    "circuit-prime": _prime,
    "prime-bags": _bags,
    "hydrostatic-head": lambda v: {"value": hydrostatic_head(q(v["height"], "cm"), FLUIDS[int(v["fluid"])]).value},
    "gravity-fill": _gravity,
    "laminar-limit": lambda v: {"value": laminar_limit(q(v["bore"], "mm"), FLUIDS[int(v["fluid"])]).value},
    "sensor-offset": lambda v: {
        "value": sensor_offset(q(v["reference"], "cm"), q(v["sensor"], "cm"), FLUIDS[int(v["fluid"])]).value
    },
    "wet-zero": _wet,
    "cylinder-endurance": _lasts,
    "oxygen-need": _need,
    "battery-endurance": _cells,
    "transit-time": _transit,
    "oxygenator-height": _height,
}


def grid(one: Sum) -> list[dict[str, float]]:
    """Every corner of the fields with every choice (thinned where there are too many), and points in between."""
    luck = random.Random(one.formula.name)
    ends = [(g.least, g.most) if isinstance(g, Given) else range(len(g.choices)) for g in one.given]
    corners = [dict(zip((g.name for g in one.given), point, strict=True)) for point in product(*ends)]
    points = corners if len(corners) <= POINTS // 2 else luck.sample(corners, POINTS // 2)
    while len(points) < POINTS:
        points.append(
            {g.name: _between(g, luck) if isinstance(g, Given) else luck.randrange(len(g.choices)) for g in one.given}
        )
    return points


def _between(field: Given | Pick, luck: random.Random) -> float:
    """As people type it: four digits. Small values as often as large ones."""
    if isinstance(field, Pick):
        return luck.randrange(len(field.choices))
    share = luck.random() ** luck.choice((1, 3))
    return float(f"{field.least + (field.most - field.least) * share:.4g}")


def test_there_is_a_sum_for_every_formula() -> None:
    assert list(SUMS) == [one.name for one in FORMULAS] == list(REAL)


def test_no_sum_asks_for_a_figure_of_a_patient_or_gives_a_dose() -> None:
    for one in sums():
        for label in (*(given.label for given in one.given), *(show.label for show in one.shown)):
            assert not re.search(r"weight|blood pressure|haemoglobin|haematocrit|heparin|dose|surface|age\b", label, re.I), (
                label
            )


def test_what_stands_in_the_fields_at_first_lies_within_their_limits() -> None:
    for one in sums():
        for field in one.fields:
            assert field.least <= field.start <= field.most, (one.formula.name, field.name)


@pytest.mark.parametrize(
    "said", ["__import__('os')", "a.b", "f(x)", "'text'", "a if b else 'c'", "x := 1", "a // b", "True"]
)
def test_an_expression_says_no_more_than_a_sum_needs(said: str) -> None:
    with pytest.raises((ValueError, SyntaxError)):
        javascript(said)


def test_expressions_as_a_browser_gets_them() -> None:
    assert javascript("pi * (bore / 2) ** 2") == "(3.141592653589793 * Math.pow((bore / 2), 2))"
    assert javascript("-a - -1 if a < 2 and b >= 3 else ceil(max(a, b))") == (
        "(((a < 2) && (b >= 3)) ? ((-a) - (-1)) : Math.ceil(Math.max(a, b)))"
    )
    assert javascript("balance(lambda v: v ** 2, a, b)") == "balance(function (v) {return Math.pow(v, 2);}, a, b)"


def number(text: str) -> Decimal:
    return Decimal(text.replace("\N{MINUS SIGN}", "-").replace(",", ""))


@pytest.mark.browser
@pytest.mark.parametrize("name", SUMS)
def test_what_the_page_shows_is_what_python_works_out(tab: Tab, site: tuple[Path, SiteResult], name: str) -> None:
    one, points = SUMS[name], grid(SUMS[name])
    assert len(points) >= 200
    tab.page.goto((site[0] / "sums" / f"{name}.html").as_uri())
    told = tab.page.evaluate(
        "([name, points]) => points.map(point => window.stepwellSum(name, point, point))", [name, points]
    )
    compared = refused = 0
    for point, answer in zip(points, told, strict=True):
        real = REAL[name](point)
        if not real:
            assert answer.get("refused"), point
            refused += 1
            continue
        assert "results" in answer, (point, answer)
        for show in one.shown:
            text, wanted = answer["results"][show.name], real[show.name]
            if wanted is None:
                assert text.startswith("refused"), (point, text)
                refused += 1
                continue
            assert abs(number(text) - Decimal(wanted)) <= Decimal(10) ** -show.digits * Decimal("0.500001"), (
                point,
                text,
                wanted,
            )
            compared += 1
    assert compared >= 200
    assert name not in ("gravity-fill", "cylinder-endurance") or refused >= 20, "the refusals were tried as well"
    assert tab.complaints == []


@pytest.mark.browser
def test_no_figure_outside_the_limits(tab: Tab, site: tuple[Path, SiteResult]) -> None:
    tab.page.goto((site[0] / "index.html").as_uri())
    for one in sums():
        tab.page.goto((site[0] / "sums" / f"{one.formula.name}.html").as_uri())
        middle = {given.name: given.start for given in one.given}
        for field in one.fields:
            reach = (field.most - field.least) / 100
            for value in (field.least - reach, field.most + reach, None):
                point = middle | {field.name: value}
                told = tab.page.evaluate(
                    "([name, point]) => window.stepwellSum(name, point, point)", [one.formula.name, point]
                )
                assert told == {"outside": [field.name]}, (one.formula.name, field.name, value)


@pytest.mark.browser
def test_typing_units_and_faults(tab: Tab, base: str) -> None:
    page = tab.page
    page.goto(f"{base}/sums/tubing-volume.html")
    assert page.text_content("#out-value") == "71.3"
    page.select_option("[data-unit=bore]", "in")
    page.fill("#in-bore", "3/8")
    page.fill("#in-length", "2")
    assert page.text_content("#out-value") == "142.5"
    page.fill("#in-bore", "0,5")
    assert page.text_content("#out-value") == "no figure"
    assert page.text_content("#of-bore") == "Type a number with a point, such as 1.5."
    assert page.get_attribute("#in-bore", "aria-invalid") == "true"
    page.fill("#in-bore", "3")
    assert page.text_content("#of-bore") == "From 1 to 20 mm only."
    assert page.text_content("#sum-said") == "No figure: a field needs another number."
    assert not page.locator("#unit-value").is_visible()
    page.fill("#in-bore", "0.5")
    assert page.text_content("#out-metre") == "126.68"
    assert page.text_content("#sum-said") == ""
    page.goto(f"{base}/sums/gravity-fill.html")
    assert page.text_content("#out-value") == "4.89"
    assert page.text_content("#out-reynolds") == "10,950"
    assert page.text_content("#out-plain_flow").startswith("refused: it would need a Reynolds number of")
    page.goto(f"{base}/sums/cylinder-endurance.html")
    assert page.text_content("#out-value") == "150"
    page.fill("#in-pressure", "260")
    assert "another size is meant" in page.text_content("#sum-said")
    assert page.text_content("#out-value") == "no figure"
    page.goto(f"{base}/sums/oxygenator-height.html")
    assert page.text_content("#out-value") == "23.4"
    page.fill("#in-oxygenator", "120")
    assert page.text_content("#out-value") == "\N{MINUS SIGN}23.4"
    assert "gas may be drawn" in page.text_content("#sum-said")
    assert tab.complaints == []


def test_each_page_tells_source_mark_limits_and_example(site: tuple[Path, SiteResult]) -> None:
    for one in sums():
        text = html.unescape((site[0] / "sums" / f"{one.formula.name}.html").read_text(encoding="utf-8"))
        equation = one.formula.equation.replace("^2", "²").replace(" x ", " × ")
        for said in (
            equation,
            one.formula.source,
            f"({one.formula.mark})",
            one.formula.validity,
            one.formula.example,
        ):
            assert said in text, one.formula.name
