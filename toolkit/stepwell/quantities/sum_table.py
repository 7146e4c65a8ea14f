"""Every sum that the site offers, in the order of the formulas."""

from __future__ import annotations

from functools import cache

from stepwell.quantities import (
    bags,
    battery,
    cylinder,
    gravity_fill,
    head,
    laminar,
    oxygen_need,
    oxygenator_height,
    prime,
    sensor_offset,
    transit,
    tubing,
)
from stepwell.quantities.fluids import BLOOD, FLUIDS, GRAVITY
from stepwell.quantities.sums import Choice, Given, Pick, Said, Shown, Sum
from stepwell.quantities.units import quantity, to

_FLUID = Pick(
    name="fluid",
    label="Liquid",
    choices=tuple(
        Choice(label=one.name, values=(("density", one.density), ("viscosity", one.viscosity / 1000))) for one in FLUIDS
    ),
    start=1,
)
_BLOOD_OR_LESS = Pick(name="fluid", label="Liquid", choices=_FLUID.choices, start=FLUIDS.index(BLOOD))
_DRIVE = f"density * {GRAVITY}"


def _bore(name: str = "bore", label: str = "Bore, inside") -> Given:
    return Given(name=name, label=label, unit="mm", least=1, most=20, start=9.525, units=("in",))


def _length(name: str = "length", label: str = "Length", *, least: float = 0.01, start: float = 1) -> Given:
    return Given(name=name, label=label, unit="m", least=least, most=20, start=start, units=("cm",))


def _height(name: str, label: str, start: float, *, least: float = 0) -> Given:
    return Given(name=name, label=label, unit="cm", least=least, most=300, start=start, units=("m",))


def _millilitres(name: str, label: str, start: float, *, least: float = 0, most: float = 5000) -> Given:
    return Given(name=name, label=label, unit="mL", least=least, most=most, start=start, units=("L",))


def _litres_per_minute(name: str, label: str, start: float, *, most: float) -> Given:
    return Given(name=name, label=label, unit="L/min", least=0.1, most=most, start=start)


@cache
def sums() -> tuple[Sum, ...]:
    """All of them. The first call looks up the units, which takes a while."""
    millimetre, size = to(quantity(1, "mmHg"), "Pa"), _cylinders()
    return (
        *_volumes(),
        _head(millimetre),
        _gravity_fill(),
        _laminar_limit(),
        *_sensors(millimetre),
        _lasts(size),
        _need(size),
        _cells(),
        _transit(),
        _oxygenator_height(millimetre),
    )


def _volumes() -> tuple[Sum, ...]:
    tube = Sum(
        formula=tubing.FORMULA,
        given=(_bore(), _length()),
        lines=(
            ("metre", "pi * (bore / 2) ** 2"),
            ("value", "metre * length"),
            ("spread", "((1 + 0.1 / bore) ** 2 - 1) * 100"),
        ),
        shown=(
            Shown(name="value", label="Volume", unit="mL", digits=1),
            Shown(name="metre", label="In each metre", unit="mL", digits=2),
            Shown(name="spread", label="More, if the bore is 0.1 mm wider", unit="%", digits=1),
        ),
    )
    whole = Sum(
        formula=prime.FORMULA,
        given=(
            _bore(label="Bore of the limbs, inside"),
            _length(label="Length of the limbs, all together", least=0, start=4),
            _bore("other", "Bore of other tubes, inside"),
            _length("rest", "Length of other tubes, all together", least=0, start=0),
            _millilitres("oxygenator", "Oxygenator, by the maker’s papers", 250),
            _millilitres("pump", "Pump head, by the maker’s papers", 32),
            _millilitres("more", "Connectors and side lines", 20),
        ),
        lines=(
            ("tubes", "pi * (bore / 2) ** 2 * length + pi * (other / 2) ** 2 * rest"),
            ("value", "tubes + oxygenator + pump + more"),
        ),
        shown=(
            Shown(name="value", label="Prime volume", unit="mL", digits=0),
            Shown(name="tubes", label="Of it in tubes", unit="mL", digits=0),
        ),
    )
    bag = Sum(
        formula=bags.FORMULA,
        given=(
            _millilitres("prime", "Prime volume", 587, least=1, most=10_000),
            _millilitres("bag", "One bag", 1000, least=50),
            Given(name="waste", label="Wasted in flushing and bleeding", unit="%", least=0, most=300, start=50),
        ),
        lines=(
            ("needed", "prime * (1 + waste / 100)"),
            ("value", "max(1, ceil(needed / bag - 1e-9))"),
            ("keep", "value + 1"),
        ),
        shown=(
            Shown(name="value", label="Bags used", unit="", digits=0),
            Shown(name="keep", label="Bags to keep at hand", unit="", digits=0),
            Shown(name="needed", label="Needed with the waste", unit="mL", digits=0),
        ),
    )
    return tube, whole, bag


def _head(millimetre: float) -> Sum:
    return Sum(
        formula=head.FORMULA,
        given=(_height("height", "Height of the column", 60, least=-300), _FLUID),
        lines=(("value", f"{_DRIVE} * height / 100 / {millimetre!r}"),),
        shown=(Shown(name="value", label="Pressure at its foot", unit="mmHg", digits=1),),
    )


def _gravity_fill() -> Sum:
    reynolds = "density * {v} * bore / 1000 / viscosity"
    rub = f"(64 / ({reynolds}) if {reynolds} < {gravity_fill.LAMINAR_BELOW} else 0.316 / ({reynolds}) ** 0.25)".format(v="v")
    needed = f"density * v ** 2 / 2 * ({rub} * length / (bore / 1000) + losses)"
    return Sum(
        formula=gravity_fill.FORMULA,
        given=(
            _height("height", "Level in the bag above the outlet", 60, least=1),
            _bore(),
            _length(start=2),
            _FLUID,
            Given(name="losses", label="Losses K at outlet, spike and fittings", unit="", least=0, most=50, start=2.5),
            _millilitres("volume", "Volume to fill", 587, least=1, most=10_000),
        ),
        lines=(
            ("drive", f"{_DRIVE} * height / 100"),
            ("speed", f"balance(lambda v: {needed}, drive, sqrt(2 * drive / density / max(losses, 0.01)))"),
            ("value", "speed * pi * (bore / 2000) ** 2 * 60000"),
            ("reynolds", reynolds.format(v="speed")),
            ("seconds", "volume / 1000 / value * 60"),
            ("plain", "pi * (bore / 2000) ** 4 * drive / (8 * viscosity * length)"),
            ("plain_reynolds", "4 * density * plain / (pi * viscosity * bore / 1000)"),
            ("plain_flow", "plain * 60000"),
        ),
        shown=(
            Shown(name="value", label="Highest flow there can be", unit="L/min", digits=2),
            Shown(name="reynolds", label="Reynolds number", unit="", digits=0),
            Shown(name="seconds", label="Least time for the volume", unit="s", digits=0),
            Shown(
                name="plain_flow",
                label="By Poiseuille’s law alone",
                unit="L/min",
                digits=2,
                refused=Said(
                    when=f"plain_reynolds > {gravity_fill.POISEUILLE_BELOW}",
                    words="refused: it would need a Reynolds number of {plain_reynolds:0}, and holds up to 2,000 only",
                ),
            ),
        ),
        refusals=(
            Said(when="reynolds > 100000", words="The Reynolds number is {reynolds:0}; it holds up to 100,000 only."),
        ),
        notes=(
            Said(
                when=f"reynolds >= {gravity_fill.LAMINAR_BELOW * 0.999!r} and reynolds <= 4000",
                words="Between laminar and turbulent: the flow may be either’s.",
            ),
        ),
    )


def _laminar_limit() -> Sum:
    return Sum(
        formula=laminar.FORMULA,
        given=(_bore(), _BLOOD_OR_LESS),
        lines=(("value", "2000 * viscosity * pi * bore / 1000 / (4 * density) * 60000"),),
        shown=(Shown(name="value", label="Flow at which a Reynolds number of 2,000 is reached", unit="L/min", digits=2),),
    )


def _sensors(millimetre: float) -> tuple[Sum, ...]:
    offset = Sum(
        formula=sensor_offset.FORMULA,
        given=(
            _height("reference", "Level that is meant, above the floor", 100),
            _height("sensor", "Sensor, above the floor", 80),
            _FLUID,
        ),
        lines=(("value", f"{_DRIVE} * (reference - sensor) / 100 / {millimetre!r}"),),
        shown=(Shown(name="value", label="Added to every reading", unit="mmHg", digits=1),),
    )
    wet = Sum(
        formula=sensor_offset.WET_ZERO,
        given=(
            _height("column", "Column above the sensor while it was zeroed", 60),
            _FLUID,
            Given(name="alarm", label="A reading, such as an alarm’s limit", unit="mmHg", least=-500, most=800, start=300),
        ),
        lines=(("value", f"-{_DRIVE} * column / 100 / {millimetre!r}"), ("behind", "alarm - value")),
        shown=(
            Shown(name="value", label="Added to every reading", unit="mmHg", digits=1),
            Shown(name="behind", label="True pressure at that reading", unit="mmHg", digits=0),
        ),
    )
    return offset, wet


def _cylinders() -> Pick:
    known = cylinder.cylinders()
    return Pick(
        name="cylinder",
        label="Cylinder, by country and size",
        choices=tuple(
            Choice(
                label=f"{one.region.upper()} {one.name}: {one.contents:,.0f} L, {to(one.full, 'bar'):.0f} bar ({one.mark})",
                values=(("litres_per_bar", one.litres_per_bar), ("full", to(one.full, "bar"))),
            )
            for one in known
        ),
        start=next(n for n, one in enumerate(known) if one.region is cylinder.Region.EU and one.name == "5 L"),
    )


def _lasts(size: Pick) -> Sum:
    return Sum(
        formula=cylinder.FORMULA,
        given=(
            size,
            Given(name="pressure", label="Gauge", unit="bar", least=0, most=400, start=200, units=("psi",)),
            Given(name="reserve", label="Kept in reserve", unit="bar", least=0, most=100, start=20, units=("psi",)),
            _litres_per_minute("flow", "Flow drawn in all", 6, most=100),
        ),
        lines=(
            ("litres", "max(0, pressure - reserve) * litres_per_bar"),
            ("value", "litres / flow"),
            ("half", "value / 2"),
            ("highest", "1.25 * full"),
        ),
        shown=(
            Shown(name="value", label="Lasts", unit="min", digits=0),
            Shown(name="half", label="Longest journey, at twice the time", unit="min", digits=0),
            Shown(name="litres", label="Gas above the reserve", unit="L", digits=0),
        ),
        refusals=(
            Said(
                when="pressure > highest",
                words="The gauge is far above this cylinder’s full pressure of {full:0} bar: another size is meant.",
            ),
        ),
        notes=(Said(when="pressure <= reserve", words="Nothing is left above the reserve."),),
    )


def _need(size: Pick) -> Sum:
    return Sum(
        formula=oxygen_need.FORMULA,
        given=(
            _litres_per_minute("flow", "Flow drawn in all", 6, most=100),
            Given(name="time", label="Journey, door to door", unit="min", least=1, most=1440, start=90, units=("h",)),
            Given(name="factor", label="Times the journey", unit="", least=1, most=5, start=2),
            size,
        ),
        lines=(
            ("value", "factor * flow * time"),
            ("pieces", "max(1, ceil(value / (litres_per_bar * full) - 1e-9))"),
        ),
        shown=(
            Shown(name="value", label="Oxygen", unit="L", digits=0),
            Shown(name="pieces", label="Full cylinders of that size", unit="", digits=0),
        ),
    )


def _cells() -> Sum:
    return Sum(
        formula=battery.FORMULA,
        given=(
            Given(name="energy", label="Energy of a full battery", unit="Wh", least=1, most=5000, start=150, units=("kJ",)),
            Given(name="usable", label="Usable share", unit="%", least=1, most=100, start=80),
            Given(name="health", label="Health, of new", unit="%", least=1, most=100, start=100),
            Given(name="power", label="Load", unit="W", least=1, most=2000, start=60),
        ),
        lines=(
            ("stored", "energy * (usable / 100) * (health / 100)"),
            ("value", "stored / power * 60"),
            ("half", "value / 2"),
        ),
        shown=(
            Shown(name="value", label="Lasts", unit="min", digits=0),
            Shown(name="half", label="Longest time off mains, at twice the time", unit="min", digits=0),
        ),
    )


def _transit() -> Sum:
    return Sum(
        formula=transit.FORMULA,
        given=(
            _millilitres("volume", "Volume between the two places", 143, least=1),
            _litres_per_minute("flow", "Flow", 4.5, most=10),
        ),
        lines=(("value", "volume / 1000 / flow * 60"), ("earliest", "value / 2")),
        shown=(
            Shown(name="value", label="Arrives after, in the mean", unit="s", digits=1),
            Shown(name="earliest", label="At the soonest, in a laminar stream", unit="s", digits=1),
        ),
    )


def _oxygenator_height(millimetre: float) -> Sum:
    return Sum(
        formula=oxygenator_height.FORMULA,
        given=(
            _height("patient", "Level of the patient’s heart, above the floor", 90),
            _height("oxygenator", "Oxygenator, above the floor", 60),
            _BLOOD_OR_LESS,
        ),
        lines=(("value", f"{_DRIVE} * (patient - oxygenator) / 100 / {millimetre!r}"),),
        shown=(Shown(name="value", label="Pressure in it, if the pressure at the heart is 0", unit="mmHg", digits=1),),
        notes=(Said(when="value < 0", words="Below zero: with the pump off, gas may be drawn through the membrane."),),
    )
