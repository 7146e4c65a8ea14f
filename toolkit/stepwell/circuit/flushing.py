"""Where carbon dioxide from a flush goes."""

from __future__ import annotations

from stepwell.circuit.compile_rig import figure
from stepwell.circuit.contents import AIR, AIR_FREE, CO2, DRY, WET
from stepwell.circuit.equipment import parts_of
from stepwell.circuit.hydraulics import Hydraulics
from stepwell.circuit.layout import OPEN_AIR, Layout, State
from stepwell.circuit.links import end_points, reached
from stepwell.circuit.paths import union_of_paths
from stepwell.model.rig import Part


def has_way_out(layout: Layout, water: Hydraulics, flush: Part) -> bool:
    """Gas from the flush can leave to the open air, by whatever passes gas."""
    site = layout.space_of[flush.ref("site")[0]]
    return OPEN_AIR in reached(water.links, [site], stop=end_points(layout) - {site}, gas=True)


def flushed(layout: Layout, state: State, water: Hydraulics) -> dict[int, int]:
    """What spaces in open connection with a running flush may hold by it: dry ones the gas, liquid ones bubbles."""
    masks: dict[int, int] = {}
    for flush in _running(layout, state):
        if not has_way_out(layout, water, flush):
            continue
        site = layout.space_of[flush.ref("site")[0]]
        for space in reached(water.links, [site], stop=end_points(layout) - {site}, gas=True):
            variable = layout.spaces[space].contents
            if variable is not None:
                held = state[variable]
                masks[space] = masks.get(space, 0) | (CO2 if held & DRY else 0) | (WET if held & AIR_FREE else 0)
    return masks


def flush_through(layout: Layout, state: State, water: Hydraulics, values: list[int], seconds: float) -> None:
    """After its time, dry spaces on the way from the flush to an opening hold the gas and no air."""
    for flush in _running(layout, state):
        needed = figure(flush, "flush-time", "s")
        if needed is None or seconds < needed:
            continue
        site = layout.space_of[flush.ref("site")[0]]
        found = union_of_paths(water.links, site, {OPEN_AIR}, stop=end_points(layout), gas_at_end=True)
        for space in found.spaces if found.exact else ():
            variable = layout.spaces[space].contents
            if variable is not None and not values[variable] & ~DRY:
                values[variable] = values[variable] & ~AIR | CO2


def _running(layout: Layout, state: State) -> list[Part]:
    return [part for part in parts_of(layout, "co2-flush") if state[layout.variable(part.id, "flush")] == 1]
