"""Quantities in files: the only module of the loader that knows how they are read."""

from __future__ import annotations

import re
from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.units import INSTEAD, UNITS, dimension_of, parse_quantity
from stepwell.source.near import a, listed, nearest, quote

_COMMA = re.compile(r"[-−+]?[0-9]+,[0-9]+\s*\D*")
_BARE = re.compile(r"[-−+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?")
_SHAPE = re.compile(r"(?P<number>[-−+]?[0-9]+(?:\.[0-9]+|/[0-9]+)?)\s*(?P<unit>\S.*)")

EXAMPLES: dict[str, str] = {
    "length": "1.5 m",
    "volume": "250 mL",
    "pressure": "150 bar",
    "speed": "2800 rpm",
    "time": "90 s",
    "flow": "4 L/min",
    "temperature": "37 °C",
    "count": "3 times",
    "power": "60 W",
    "energy": "90 Wh",
    "mass": "5 kg",
    "area": "1.8 m²",
    "ratio": "60 %",
    "frequency": "50 Hz",
}
"""One quantity of each dimension, for mends."""


@dataclass(frozen=True, slots=True)
class Misread:
    """Why a text is no quantity of the wanted sort. ``dimension``: it is a quantity, but of another sort."""

    message: str
    mend: str
    dimension: bool = False


def example_of(dimension: str | None) -> str:
    """A quantity of this dimension as one writes it."""
    return EXAMPLES.get(dimension or "pressure", "150 bar")


def units_of(dimension: str | None) -> tuple[str, ...]:
    """The units that measure this dimension; all of them for None."""
    return tuple(symbol for symbol, unit in UNITS.items() if dimension in (None, unit.dimension))


def read_amount(text: str, dimension: str | None, unit: str = "") -> Quantity | Misread:
    """Read a quantity and see that it is of the wanted dimension (None: any). ``unit`` is likely where none stands."""
    text = text.strip()
    if len(text) > 200:
        return Misread("This is too long to be a quantity.", f"Write for example `{example_of(dimension)}`.")
    found = parse_quantity(text)
    if found is None:
        return _misread(text, dimension, unit)
    has = dimension_of(found.unit)
    if dimension is not None and has != dimension:
        wanted = f"{a(dimension)} is needed here"
        mend = f"Write for example `{example_of(dimension)}`; units are {listed(units_of(dimension))}."
        return Misread(f"{quote(text)} is {a(has or 'quantity')}, but {wanted}.", mend, dimension=True)
    return found


def _misread(text: str, dimension: str | None, unit: str) -> Misread:
    example = f"`{example_of(dimension)}`"
    if _COMMA.fullmatch(text):
        return Misread(f"{quote(text)} has a decimal comma.", f"Write a point: {quote(text.replace(',', '.', 1))}.")
    if _BARE.fullmatch(text):
        usual = unit or example_of(dimension).partition(" ")[2]
        own = f"`{text} {usual}`" if dimension or unit else example
        more = "" if own == example else f" or {example}"
        return Misread(f"{quote(text)} has no unit.", f"Write number, space, unit, for example {own}{more}.")
    spoken = _spoken(text, dimension)
    if spoken:
        return Misread(f"{quote(text)} is not a quantity.", f"Did you mean {quote(spoken)}?")
    shape = _SHAPE.fullmatch(text)
    if shape is None:
        return Misread(f"{quote(text)} is not a quantity.", f"Write number, space, unit, for example {example}.")
    unit = shape["unit"].strip()
    if unit in UNITS:
        return Misread(f"{quote(text)} is not a quantity.", f"Write the number plainly, for example {example}.")
    likely = INSTEAD.get(unit) or nearest(unit, units_of(dimension)) or nearest(unit, UNITS)
    message = f"{quote(unit)} is not a unit that the tool knows."
    if likely is not None:
        return Misread(message, f"Did you mean {quote(shape['number'] + ' ' + likely)}?")
    return Misread(message, f"Units here are {listed(units_of(dimension), most=20)}.")


_SPOKEN = {"a": "1", "an": "1", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "ten": "10",
           "fifteen": "15", "twenty": "20", "thirty": "30", "sixty": "60"}  # fmt: skip


def _spoken(text: str, dimension: str | None) -> str:
    """``about two minutes`` as it is written: ``2 min``; empty where that can't be told."""
    words = [word for word in text.lower().split() if word not in ("about", "around", "approximately", "approx.", "ca.")]
    if len(words) != 2:
        return ""
    number = _SPOKEN.get(words[0], words[0])
    unit = INSTEAD.get(words[1]) or INSTEAD.get(f"{words[1]}s") or (words[1] if words[1] in UNITS else "")
    fits = unit and dimension in (None, dimension_of(unit))
    return f"{number} {unit}" if _BARE.fullmatch(number) and fits and (number, unit) != (words[0], words[1]) else ""
