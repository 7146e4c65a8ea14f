"""Units: what is read, what is refused, and factors against the handbook.

Factors: NIST SP 811, appendix B, from memory: mmHg 133.3224 Pa, inch 25.4 mm, psi 6894.757 Pa, cmH2O
(conventional) 98.0665 Pa.
"""

from __future__ import annotations

import itertools
import subprocess
import sys
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepwell.model.quantity import Quantity
from stepwell.quantities.units import (
    DIMENSIONS,
    EXACT,
    INSTEAD,
    UNITS,
    UnitMismatchError,
    dimension_of,
    parse_quantity,
    quantity,
    to,
)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("150 bar", "150", "bar"),
        ("2800 rpm", "2800", "rpm"),
        ("1.5 m", "1.5", "m"),
        ("90 s", "90", "s"),
        ("2 min", "2", "min"),
        ("60 cmH2O", "60", "cmH2O"),
        ("-60 mmHg", "-60", "mmHg"),
        ("−60 mmHg", "-60", "mmHg"),
        ("4 L/min", "4", "L/min"),
        ("36.5 °C", "36.5", "°C"),
        ("3/8 in", "0.375", "in"),
        ("  2  L ", "2", "L"),
        ("2.50 L", "2.50", "L"),
    ],
)
def test_reads(text: str, value: str, unit: str) -> None:
    assert parse_quantity(text) == Quantity(Decimal(value), unit)


def test_keeps_the_authors_digits() -> None:
    assert str(parse_quantity("2.50 L")) == "2.50 L"


@pytest.mark.parametrize(
    "text",
    [
        "1,5 m", "2,800 rpm", ".5 m", "5", "m", "", "5 cc", "5 U", "5 IU", "5 ug", "5 µg", "5 lpm", "1e3 m",
        "3/8 m", "3/7 in", "5 m m", "five m", "5 min 30 s", "١ m",
    ],
)  # fmt: skip
def test_refuses(text: str) -> None:
    assert parse_quantity(text) is None


@pytest.mark.parametrize(
    ("value", "here", "there", "expected"),
    [
        (1, "mmHg", "Pa", 133.3224),
        (1, "cmH2O", "Pa", 98.0665),
        (1, "psi", "Pa", 6894.757),
        (1, "in", "mm", 25.4),
        (1, "ft", "mm", 304.8),
        (1, "bar", "psi", 14.50377),
        (1, "bar", "mmHg", 750.0617),
        (1, "kPa", "mmHg", 7.500617),
        (1, "mmHg", "cmH2O", 1.35951),
        (1, "Wh", "J", 3600),
        (25, "Fr", "mm", 8.3333333),
        (90, "s", "min", 1.5),
        (2, "days", "h", 48),
        (6, "L/min", "mL/min", 6000),
        (50, "%", "%", 50),
    ],
)
def test_factors(value: float, here: str, there: str, expected: float) -> None:
    assert to(quantity(value, here), there) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("here", "there"), [("bar", "m"), ("rpm", "Hz"), ("L", "L/min"), ("m", "furlong")])
def test_dimensions_do_not_mix(here: str, there: str) -> None:
    with pytest.raises(UnitMismatchError):
        to(quantity(1, here), there)


def test_every_unit_has_a_dimension_and_converts_to_its_like() -> None:
    for symbol, entry in UNITS.items():
        assert dimension_of(symbol) == entry.dimension
        for other, like in UNITS.items():
            if like.dimension == entry.dimension:
                there = to(quantity(3, symbol), other)
                assert to(quantity(there, other), symbol) == pytest.approx(3, rel=1e-9)
    assert dimension_of("cc") is None
    assert {"length", "volume", "pressure", "speed", "time", "flow"} <= set(DIMENSIONS)


def test_error_prone_symbols_are_no_units() -> None:
    assert not {"U", "IU", "ug", "µg", "cc"} & set(UNITS)
    assert not set(INSTEAD) & set(UNITS)
    assert set(INSTEAD.values()) <= set(UNITS)


@given(st.decimals(min_value=0, max_value=10**6, places=3), st.sampled_from(sorted(UNITS)))
def test_what_is_printed_is_read_back(value: Decimal, unit: str) -> None:
    written = Quantity(value, unit)
    assert parse_quantity(str(written)) == written


def test_the_registry_is_not_built_at_import() -> None:
    code = "import sys, stepwell.quantities.formulas; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_exact_sizes_are_those_of_pint() -> None:
    registry = pint.UnitRegistry()
    sizes = {name: registry.parse_expression(name).to_base_units() for name in EXACT}
    assert {unit.pint for unit in UNITS.values()} >= EXACT.keys()
    for here, there in itertools.permutations(EXACT, 2):
        if sizes[here].dimensionality == sizes[there].dimensionality:
            assert EXACT[here] / EXACT[there] == pytest.approx(sizes[here].magnitude / sizes[there].magnitude, rel=1e-12)
