"""Volumes: tubing, prime, bags. Worked examples: geometry and arithmetic, recomputed by hand."""

from __future__ import annotations

import pytest

from stepwell.quantities.bags import prime_bags
from stepwell.quantities.prime import Tube, Vessel, circuit_prime
from stepwell.quantities.tubing import tubing_volume
from stepwell.quantities.units import UnitMismatchError, parse_quantity, quantity


@pytest.mark.parametrize(
    ("bore", "per_metre", "per_foot"),
    [
        ("3/16 in", 17.81, 5.43),
        ("1/4 in", 31.67, 9.65),
        ("5/16 in", 49.48, 15.08),
        ("3/8 in", 71.26, 21.72),
        ("1/2 in", 126.68, 38.61),
    ],
)
def test_tubing(bore: str, per_metre: float, per_foot: float) -> None:
    size = parse_quantity(bore)
    assert size is not None
    volume = tubing_volume(size, quantity(1, "m"))
    assert round(volume.value, 2) == per_metre
    assert volume.unit == "mL"
    assert round(tubing_volume(size, quantity(1, "ft")).value, 2) == per_foot


def test_a_tenth_of_a_millimetre_matters() -> None:
    volume = tubing_volume(quantity("0.375", "in"), quantity(2, "m"))
    assert round(volume.spread_percent, 1) == 2.1
    assert volume.value == pytest.approx(2 * volume.per_metre)


def test_circuit_prime() -> None:
    tubes = (Tube(name="lines", bore=quantity("0.375", "in"), length=quantity(4, "m")),)
    vessels = (
        Vessel(name="oxygenator", volume=quantity(250, "mL")),
        Vessel(name="pump head", volume=quantity("0.032", "L")),
        Vessel(name="side lines", volume=quantity(20, "mL")),
    )
    prime = circuit_prime(tubes, vessels)
    assert round(prime.value) == 587
    assert [name for name, _ in prime.shares] == ["lines", "oxygenator", "pump head", "side lines"]
    assert round(prime.shares[0][1]) == 285
    assert sum(share for _, share in prime.shares) == pytest.approx(prime.value)


def test_prime_bags() -> None:
    bags = prime_bags(quantity(587, "mL"), quantity(1000, "mL"), quantity(50, "%"))
    assert (bags.value, bags.keep, round(bags.needed, 1)) == (1, 2, 880.5)


@pytest.mark.parametrize(("prime", "bags"), [(1000, 1), (1001, 2), (2000, 2), (2001, 3), (10, 1)])
def test_bags_round_up_and_only_up(prime: int, bags: int) -> None:
    assert prime_bags(quantity(prime, "mL"), quantity(1, "L"), quantity(0, "%")).value == bags


def test_a_third_of_waste_does_not_cost_a_bag_by_rounding() -> None:
    assert prime_bags(quantity(1000, "mL"), quantity(1100, "mL"), quantity(10, "%")).value == 1


def test_nonsense_is_refused() -> None:
    with pytest.raises(UnitMismatchError, match="more than 0"):
        tubing_volume(quantity(0, "mm"), quantity(1, "m"))
    with pytest.raises(UnitMismatchError, match="length"):
        tubing_volume(quantity(1, "bar"), quantity(1, "m"))
