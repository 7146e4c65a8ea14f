"""The part kinds, in the order in which documentation lists them."""

from __future__ import annotations

from stepwell.circuit.entry import PartKind
from stepwell.circuit.parts import (
    artery,
    backup,
    bag,
    bubble_sensor,
    cannula,
    cap,
    check_valve,
    clamp,
    clamp_stock,
    co2_flush,
    drive,
    end,
    flow_sensor,
    frame,
    gas_outlet,
    gas_source,
    gas_supply,
    line,
    oxygenator,
    power,
    pressure_sensor,
    pump_head,
    response,
    sterile_pack,
    stub,
    tap,
    vein,
    vent,
    water_circuit,
)

PART_KINDS: tuple[PartKind, ...] = (
    bag.KIND,
    line.KIND,
    pump_head.KIND,
    oxygenator.KIND,
    stub.KIND,
    tap.KIND,
    cannula.KIND,
    vein.KIND,
    artery.KIND,
    clamp.KIND,
    cap.KIND,
    vent.KIND,
    check_valve.KIND,
    end.KIND,
    drive.KIND,
    pressure_sensor.KIND,
    flow_sensor.KIND,
    bubble_sensor.KIND,
    response.KIND,
    water_circuit.KIND,
    gas_supply.KIND,
    gas_source.KIND,
    gas_outlet.KIND,
    co2_flush.KIND,
    power.KIND,
    frame.KIND,
    backup.KIND,
    sterile_pack.KIND,
    clamp_stock.KIND,
)

_BY_NAME = {kind.name: kind for kind in PART_KINDS}


def part_kind(name: str) -> PartKind | None:
    """The kind of this name, or None."""
    return _BY_NAME.get(name)
