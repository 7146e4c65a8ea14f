"""How long an oxygen cylinder lasts. The region is required: one letter means different cylinders in
different countries."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Formula
from stepwell.quantities.units import UnitMismatchError, quantity, to

FORMULA = Formula(
    name="cylinder-endurance",
    title="Endurance of an oxygen cylinder",
    equation="t = contents x (P - reserve) / full pressure / Q; US: k (P - reserve) / Q; by water capacity:"
    " V (P - reserve) / Q",
    source="UK contents: Lutman and Petros, Emerg Med J 2006;23:703-704. US factor of size E: a public"
    " reference page; the other sizes and factors from memory",
    mark="seen",
    validity="Ideal gas at one temperature. The gauge, the flowmeter and the stated contents each carry an"
    " error: plan for twice the time.",
    example="US E from 2000 psi, 200 psi kept, 6 L/min: 84 min. 5 L water capacity at 200 bar, 20 bar kept,"
    " 6 L/min: 150 min",
)


class Region(StrEnum):
    """Where the cylinder's letter is used; ``eu`` sizes go by water capacity instead of a letter."""

    UK = "uk"
    US = "us"
    EU = "eu"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """Litres of gas per bar above empty, so that all three ways of stating contents become one. ``mark``:
    seen or from memory."""

    name: str
    region: Region
    litres_per_bar: float
    full: Quantity
    mark: str

    @property
    def contents(self) -> float:
        """Litres of gas in a full cylinder."""
        return self.litres_per_bar * to(self.full, "bar")


@dataclass(frozen=True, slots=True, kw_only=True)
class Endurance:
    """``value`` in ``unit``; ``litres`` usable above the reserve; the cylinder's name and region, since
    letters repeat."""

    value: float
    unit: str
    litres: float
    cylinder: str
    region: Region


def _by_contents(name: str, litres: float, bar: float, mark: str) -> Cylinder:
    return Cylinder(name=name, region=Region.UK, litres_per_bar=litres / bar, full=quantity(bar, "bar"), mark=mark)


def _by_factor(name: str, litres_per_psi: float, mark: str) -> Cylinder:
    full = quantity(2000, "psi")
    return Cylinder(
        name=name,
        region=Region.US,
        litres_per_bar=litres_per_psi * to(quantity(1, "bar"), "psi"),
        full=full,
        mark=mark,
    )


def by_water_capacity(capacity: Quantity, full: Quantity) -> Cylinder:
    """A cylinder known by its water ``capacity`` and ``full`` pressure, as on the continent of Europe."""
    litres = positive(capacity, "L", "water capacity")
    return Cylinder(name=f"{litres:g} L", region=Region.EU, litres_per_bar=litres, full=full, mark="physics")


def cylinders() -> tuple[Cylinder, ...]:
    """The known sizes of every region."""
    return (
        _by_contents("D", 340, 137, "seen"),
        _by_contents("CD", 460, 230, "seen"),
        _by_contents("F", 1360, 137, "seen"),
        _by_contents("E", 680, 137, "from memory"),
        _by_contents("HX", 2300, 230, "from memory"),
        _by_contents("ZX", 3040, 300, "from memory"),
        _by_factor("D", 0.16, "from memory"),
        _by_factor("E", 0.28, "seen"),
        _by_factor("M", 1.56, "from memory"),
        _by_factor("H", 3.14, "from memory"),
        by_water_capacity(quantity(2, "L"), quantity(200, "bar")),
        by_water_capacity(quantity(5, "L"), quantity(200, "bar")),
        by_water_capacity(quantity(10, "L"), quantity(200, "bar")),
    )


def find_cylinder(region: Region, name: str) -> Cylinder | None:
    """The size called ``name`` in that ``region``; None if the region has none of that name."""
    return next((entry for entry in cylinders() if entry.region is region and entry.name == name), None)


def cylinder_endurance(cylinder: Cylinder, pressure: Quantity, flow: Quantity, reserve: Quantity) -> Endurance:
    """Minutes that ``cylinder`` at ``pressure`` gives ``flow`` until ``reserve`` is left (both gauge
    pressures).

    An empty or nearly empty cylinder gives 0. Raises UnitMismatchError for a pressure above one and a
    quarter of full, which means the wrong size was named.
    """
    bar = to(pressure, "bar")
    if bar > 1.25 * to(cylinder.full, "bar"):
        raise UnitMismatchError(f"{pressure} is far above the full pressure of a {cylinder.region.upper()} {cylinder.name}")
    litres = max(0.0, bar - to(reserve, "bar")) * cylinder.litres_per_bar
    minutes = litres / positive(flow, "L/min", "flow")
    return Endurance(value=minutes, unit="min", litres=litres, cylinder=cylinder.name, region=cylinder.region)
