"""The units that files may use, and how to turn one into another.

The list is closed on purpose. It leaves out what ISMP's list of error-prone abbreviations warns of (``U``,
``IU``, ``ug``, ``cc``; from memory), so an author who writes one is told at once. Units that are whole multiples
of each other by definition have their sizes here, which a test compares with pint; all other factors come from pint,
whose registry takes a while and is built only when it is needed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from stepwell.model.quantity import Quantity

if TYPE_CHECKING:
    import pint


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSymbol:
    """One unit: ``symbol`` as written in files, ``pint`` as the registry knows it, ``name`` in words."""

    symbol: str
    dimension: str
    pint: str
    name: str


class UnitMismatchError(ValueError):
    """A quantity was used where one of another dimension belongs. The caller's fault, never the author's:
    the loader checks dimensions before any sum is done."""


_LIST: tuple[tuple[str, str, str, str], ...] = (
    ("mm", "length", "millimeter", "millimetre"),
    ("cm", "length", "centimeter", "centimetre"),
    ("m", "length", "meter", "metre"),
    ("in", "length", "inch", "inch"),
    ("ft", "length", "foot", "foot"),
    ("Fr", "length", "millimeter / 3", "French, an outer diameter of a third of a millimetre"),
    ("mL", "volume", "milliliter", "millilitre"),
    ("L", "volume", "liter", "litre"),
    ("mmHg", "pressure", "millimeter_Hg", "millimetre of mercury"),
    ("cmH2O", "pressure", "centimeter_H2O", "centimetre of water"),
    ("Pa", "pressure", "pascal", "pascal"),
    ("kPa", "pressure", "kilopascal", "kilopascal"),
    ("mbar", "pressure", "millibar", "millibar"),
    ("bar", "pressure", "bar", "bar"),
    ("psi", "pressure", "psi", "pound per square inch"),
    ("rpm", "speed", "revolution / minute", "revolutions per minute"),
    ("s", "time", "second", "second"),
    ("min", "time", "minute", "minute"),
    ("h", "time", "hour", "hour"),
    ("day", "time", "day", "day"),
    ("days", "time", "day", "days"),
    ("mL/min", "flow", "milliliter / minute", "millilitres per minute"),
    ("L/min", "flow", "liter / minute", "litres per minute"),
    ("L/h", "flow", "liter / hour", "litres per hour"),
    ("°C", "temperature", "degree_Celsius", "degree Celsius"),
    ("W", "power", "watt", "watt"),
    ("Wh", "energy", "watt_hour", "watt hour"),
    ("J", "energy", "joule", "joule"),
    ("kJ", "energy", "kilojoule", "kilojoule"),
    ("g", "mass", "gram", "gram"),
    ("kg", "mass", "kilogram", "kilogram"),
    ("mm²", "area", "millimeter ** 2", "square millimetre"),
    ("cm²", "area", "centimeter ** 2", "square centimetre"),
    ("m²", "area", "meter ** 2", "square metre"),
    ("pieces", "count", "count", "pieces"),
    ("times", "count", "count", "times"),
    ("%", "ratio", "percent", "per cent"),
    ("Hz", "frequency", "hertz", "hertz"),
)

UNITS: Mapping[str, UnitSymbol] = MappingProxyType(
    {
        symbol: UnitSymbol(symbol=symbol, dimension=dimension, pint=pint_name, name=name)
        for symbol, dimension, pint_name, name in _LIST
    }
)
"""Every unit by its symbol, in the order in which ``explain`` lists them."""

DIMENSIONS: tuple[str, ...] = tuple(dict.fromkeys(entry.dimension for entry in UNITS.values()))

INSTEAD: Mapping[str, str] = MappingProxyType(
    {
        "cc": "mL",
        "ml": "mL",
        "ML": "mL",
        "l": "L",
        "l/min": "L/min",
        "lpm": "L/min",
        "LPM": "L/min",
        "ml/min": "mL/min",
        "mmhg": "mmHg",
        "cmH20": "cmH2O",
        "cmh2o": "cmH2O",
        "kpa": "kPa",
        "Bar": "bar",
        "PSI": "psi",
        "RPM": "rpm",
        "/min": "rpm",
        "sec": "s",
        "secs": "s",
        "seconds": "s",
        "mins": "min",
        "minutes": "min",
        "hr": "h",
        "hrs": "h",
        "hours": "h",
        "d": "days",
        "C": "°C",
        "degC": "°C",
        "inch": "in",
        "inches": "in",
        '"': "in",
        "Kg": "kg",
        "KG": "kg",
        "m2": "m²",
        "cm2": "cm²",
        "mm2": "mm²",
        "w": "W",
        "Sek": "s",
        "sek": "s",
        "Sekunden": "s",
        "Min": "min",
        "Minuten": "min",
        "Std": "h",
        "Stunden": "h",
        "U/min": "rpm",
        "second": "s",
        "minute": "min",
        "hour": "h",
    }
)
"""What to write instead of a spelling that the list leaves out, for a helpful message."""

_NUMBER = re.compile(
    r"(?P<sign>[-−+]?)"
    r"(?:(?P<over>[0-9]{1,2})/(?P<under>2|4|8|16|32)|(?P<plain>[0-9]+(?:\.[0-9]+)?))"
    r"\s*(?P<unit>[^0-9].*)"
)


def parse_quantity(text: str) -> Quantity | None:
    """Read ``150 bar``, ``1.5 m``, ``-60 mmHg`` or, for inches only, ``3/8 in``; None if it is not a known
    quantity.

    A decimal comma, a thousands separator, a bare ``.5`` and a unit outside ``UNITS`` are all refused:
    each has been read as something else by somebody.
    """
    match = _NUMBER.fullmatch(text.strip())
    if match is None:
        return None
    unit = match["unit"].strip()
    if unit not in UNITS:
        return None
    if match["over"] is not None:
        if unit != "in":
            return None
        value = Decimal(match["over"]) / Decimal(match["under"])
    else:
        value = Decimal(match["plain"])
    return Quantity(-value if match["sign"] in ("-", "−") else value, unit)


def dimension_of(unit: str) -> str | None:
    """``length``, ``volume``, ``pressure`` ... for a unit of the list, else None."""
    entry = UNITS.get(unit)
    return None if entry is None else entry.dimension


def to(quantity: Quantity, unit: str) -> float:
    """The number of ``unit`` in ``quantity``. Raises UnitMismatchError if the dimensions differ or a unit
    is unknown."""
    here, there = UNITS.get(quantity.unit), UNITS.get(unit)
    if here is None or there is None:
        raise UnitMismatchError(f"unknown unit in {quantity} to {unit}")
    if here.dimension != there.dimension:
        raise UnitMismatchError(f"{quantity} is a {here.dimension}, not a {there.dimension} in {unit}")
    if here.pint == there.pint:
        return float(quantity.value)
    return float(quantity.value) * _factor(here.pint, there.pint)


def quantity(value: float | str, unit: str) -> Quantity:
    """A quantity from a number, for sums and tests; ``unit`` must be on the list."""
    if unit not in UNITS:
        raise UnitMismatchError(f"unknown unit {unit}")
    return Quantity(Decimal(str(value)), unit)


EXACT: Mapping[str, int] = MappingProxyType(
    {
        "millimeter": 10,
        "centimeter": 100,
        "meter": 10_000,
        "inch": 254,
        "foot": 3048,
        "milliliter": 1,
        "liter": 1000,
        "second": 1,
        "minute": 60,
        "hour": 3600,
        "day": 86_400,
        "milliliter / minute": 60,
        "liter / minute": 60_000,
        "liter / hour": 1000,
        "joule": 1,
        "kilojoule": 1000,
        "watt_hour": 3600,
        "gram": 1,
        "kilogram": 1000,
    }
)
"""Sizes that are whole numbers by definition, each in one unit of its own dimension, by the name pint has for it."""


@cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()


@cache
def _factor(here: str, there: str) -> float:
    if here in EXACT and there in EXACT:
        return EXACT[here] / EXACT[there]
    registry = _registry()
    sizes = [registry.parse_expression(name).to_base_units().magnitude for name in (here, there)]
    return float(sizes[0] / sizes[1])
