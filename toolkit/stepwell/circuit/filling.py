"""Where liquid goes: from sources with head along open simple paths to outlets for air."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.circuit.contents import LIQUID
from stepwell.circuit.hydraulics import contents_of, hydraulics, may_be_wet
from stepwell.circuit.layout import OPEN_AIR, Layout, State
from stepwell.circuit.links import end_points
from stepwell.circuit.memory import remembered
from stepwell.circuit.paths import union_of_paths
from stepwell.circuit.throttling import ways_through


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """``sure`` spaces lie on a path that surely has head; ``may`` on one that may have it; ``ways`` the links used."""

    sure: frozenset[int]
    may: frozenset[int]
    ways: frozenset[tuple[int, int]]


@remembered
def filling(layout: Layout, state: State) -> Filling:
    """What is being filled (or flowed through) in this state. Sources, outlets and vessels themselves are left out."""
    water = hydraulics(layout, state)
    sure: set[int] = set()
    may: set[int] = set()
    ways: set[tuple[int, int]] = set()
    ends = end_points(layout)
    outlets = {OPEN_AIR} | {bag.headspace for bag in layout.bags}
    for bag in layout.bags:
        if state[bag.hung] != 1 or not contents_of(layout, state, bag.fluid) & LIQUID:
            continue
        high = {n for n, s in enumerate(layout.spaces) if n not in ends and s.height is not None and s.height >= bag.height}
        unknown = {n for n, s in enumerate(layout.spaces) if n not in ends and s.height is None}
        found = union_of_paths(water.links, bag.fluid, outlets, closed=high | unknown, stop=ends, gas_at_end=True)
        wider = union_of_paths(water.links, bag.fluid, outlets, closed=high, stop=ends, gas_at_end=True)
        if found.exact:
            sure |= found.spaces
        may |= wider.spaces | found.spaces
        ways |= wider.ways | found.ways
    pump = layout.pump(state)
    if pump is not None and water.drive.spaces:
        head = pump.head
        # A port on a bag's fluid takes liquid, and air with it, only while the pump drives through it.
        fluids = {bag.fluid for bag in layout.bags} & water.drive.spaces
        driven = union_of_paths(water.links, head, outlets | fluids | {head}, stop=ends, gas_at_end=True)
        may |= driven.spaces
        ways |= driven.ways
        if driven.exact and not contents_of(layout, state, head) & ~LIQUID:
            sure |= driven.spaces
    # Blood under pressure may enter whatever is open to it.
    for number, space in enumerate(layout.spaces):
        if space.kind in ("vein", "artery") and may_be_wet(layout, state, number):
            bled = union_of_paths(water.links, number, outlets | ends - {number}, stop=ends, gas_at_end=True)
            may |= bled.spaces
            ways |= bled.ways
    if ways & ways_through(layout, state):
        # How fast it fills through a clamp that is partly shut is not known, so no wait is surely long enough.
        sure.clear()
    inner = frozenset(may - ends)
    return Filling(sure=frozenset(sure) & inner, may=inner, ways=frozenset(ways))
