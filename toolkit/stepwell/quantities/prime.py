"""Volume that fills a circuit."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Formula
from stepwell.quantities.tubing import tubing_volume

FORMULA = Formula(
    name="circuit-prime",
    title="Prime volume of a circuit",
    equation="V = sum of tubes + oxygenator + pump head + connectors and side lines",
    source="Sum of volumes; the volumes of components are the unit's data from the maker's papers",
    mark="physics",
    validity="As good as the volumes that the rig states; what the rig leaves out is not counted.",
    example="4.0 m of 3/8 in (285 mL) + 250 + 32 + 20 = 587 mL",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """A tube by name, with its inner diameter and length."""

    name: str
    bore: Quantity
    length: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """Anything else that fills, with the volume it takes."""

    name: str
    volume: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitPrime:
    """``value`` in ``unit``, and ``shares``: each component's name and mL, in the order given."""

    value: float
    unit: str
    shares: tuple[tuple[str, float], ...]


def circuit_prime(tubes: tuple[Tube, ...], vessels: tuple[Vessel, ...]) -> CircuitPrime:
    """Prime volume in mL of ``tubes`` and ``vessels``. Source: sum of volumes."""
    shares = tuple((tube.name, tubing_volume(tube.bore, tube.length).value) for tube in tubes)
    shares += tuple((vessel.name, positive(vessel.volume, "mL", vessel.name)) for vessel in vessels)
    return CircuitPrime(value=sum(share for _, share in shares), unit="mL", shares=shares)
