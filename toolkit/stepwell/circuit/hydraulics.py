"""Flow and pressure in one state: pure functions of what is open, what is wet, heights and the pump.

Pressure is relative to the atmosphere, as a set of possible signs per space (a bit mask of BELOW, AT, ABOVE).
Head loss is not modelled; where the sign depends on it, every sign is possible and the mask says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from stepwell.circuit.contents import AIR_FREE, DRY, LIQUID
from stepwell.circuit.layout import OPEN, OPEN_AIR, SHUT, Layout, Pump, State
from stepwell.circuit.links import Link, Links, both_ways, end_points, open_links, reached, reversed_links
from stepwell.circuit.memory import remembered
from stepwell.circuit.paths import NOWHERE, OnPaths, union_of_paths
from stepwell.circuit.throttling import seen_with_clamps, throttled, ways_through

BELOW, AT, ABOVE = 1, 2, 4
UNKNOWN = BELOW | AT | ABOVE

FLOWS = ("none", "forward", "reverse", "recirculating", "dead-headed", "starved")
"""Names of the flow through the pump; a flow mask has one bit per name."""

SURELY_ONWARD = frozenset({1 << FLOWS.index("forward"), 1 << FLOWS.index("recirculating")})
"""The masks of a flow that surely goes on through the pump."""

VEIN_HEAD_CM = (0.0, 25.0)
ARTERY_HEAD_CM = (60.0, 200.0)
"""Pressure of the vessels as centimetres of water above the heart, wide on purpose (from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hydraulics:
    """What follows from a state without changing it.

    ``drive`` are the spaces and ways that the running pump drives liquid through; ``loop`` those on a closed way back
    to it; ``vented`` says whether air can leave that loop. ``drawn`` are the spaces before a pump that surely drives
    liquid out into the open air, with the pump head: they stay full from where it comes, and nothing runs out of them.
    """

    links: Links
    flow: int
    pressure: tuple[int, ...]
    loop: OnPaths
    drive: OnPaths
    vented: bool
    drawn: frozenset[int] = frozenset()


def contents_of(layout: Layout, state: State, space: int) -> int:
    """The contents mask of a space; spaces without contents of their own hold air (atmosphere, headspaces)."""
    variable = layout.spaces[space].contents
    return 1 if variable is None else state[variable]


def may_be_wet(layout: Layout, state: State, space: int) -> bool:
    """True if the space may hold liquid."""
    return bool(contents_of(layout, state, space) & LIQUID)


def surely_wet(layout: Layout, state: State, space: int) -> bool:
    """True if the space surely holds liquid."""
    return not contents_of(layout, state, space) & DRY


@remembered
def hydraulics(layout: Layout, state: State) -> Hydraulics:
    """Derive flow and pressure. Total: never raises for a state of this layout."""
    if throttled(layout, state):
        return _when_throttled(layout, state)
    return _hydraulics(layout, state)


def _when_throttled(layout: Layout, state: State) -> Hydraulics:
    """With a clamp partly shut: whatever may be with it open or shut or between, and no pressure known that it can change.

    Nothing that flows there can be told to last long enough, so no path through it is exact.
    """
    wide = _hydraulics(layout, seen_with_clamps(layout, state, OPEN))
    narrow = _hydraulics(layout, seen_with_clamps(layout, state, SHUT))
    ways = ways_through(layout, state)
    ends = end_points(layout)
    group = reached(both_ways(wide.links), {space for way in ways for space in way} - ends, stop=ends)
    touched = {space for space in group - ends if may_be_wet(layout, state, space)}
    return Hydraulics(
        links=wide.links,
        flow=wide.flow | narrow.flow | 1,
        pressure=tuple(UNKNOWN if space in touched else sign for space, sign in enumerate(wide.pressure)),
        loop=wide.loop._replace(exact=False),
        drive=wide.drive._replace(exact=False),
        vented=wide.vented,
    )


def _hydraulics(layout: Layout, state: State) -> Hydraulics:
    links = open_links(layout, state)
    pump = layout.pump(state)
    running = pump is not None and pump.turns(state)
    if pump is None or not running or not may_be_wet(layout, state, pump.head):
        flow = 1 if pump is None or running else _flow_when_stopped(layout, links, pump)
        return Hydraulics(
            links=links,
            flow=flow,
            pressure=_static(layout, state, links),
            loop=NOWHERE,
            drive=NOWHERE,
            vented=False,
        )
    return _driven(layout, state, links, pump)


def _flow_when_stopped(layout: Layout, links: Links, pump: Pump) -> int:
    """A stopped centrifugal pump is an open tube: an artery on one side pushes back through it.

    Something flows only between two places, one on each side of the head, of which one is a vessel. Between a vein and
    anything else heights are not compared, and a siphon may run either way, so there zero is not certain.
    """
    ends = end_points(layout)
    sides = _ends_on_each_side(layout, links, pump)
    vessels = {n for n, space in enumerate(layout.spaces) if space.kind in ("vein", "artery")}
    pairs = [one | other for one, other in combinations(sides, 2) if one and other and len(one | other) > 1]
    met = frozenset().union(*pairs) & vessels
    if not met:
        return 1
    arteries = {n for n in met if layout.spaces[n].kind == "artery"}
    for artery in arteries:
        seen = reached(links, [artery], stop=ends)
        lower = seen & (ends - arteries)
        if pump.head in seen and lower:
            return 1 << FLOWS.index("reverse")
    return 1 | 1 << FLOWS.index("forward") | 1 << FLOWS.index("reverse")


def _ends_on_each_side(layout: Layout, links: Links, pump: Pump) -> list[frozenset[int]]:
    """For each way out of the pump head, the end points in open connection with it; a bag counts once."""
    ends, undirected = end_points(layout), both_ways(links)
    fluid = {bag.headspace: bag.fluid for bag in layout.bags}
    sides: list[frozenset[int]] = []
    for start in {link.to for link in undirected[pump.head] if not link.gas_only}:
        seen = {start} if start in ends else reached(undirected, [start], stop=ends | {pump.head})
        sides.append(frozenset(fluid.get(n, n) for n in seen & ends))
    return sides


def _with_bags_passable(layout: Layout, links: Links) -> Links:
    """The pump's loop may pass through a bag: what enters its headspace leaves from its fluid."""
    out = list(links)
    for bag in layout.bags:
        out[bag.headspace] = (*out[bag.headspace], Link(bag.fluid, -1, False, True))
    return tuple(out)


def _driven(layout: Layout, state: State, links: Links, pump: Pump) -> Hydraulics:
    ends = end_points(layout)
    vessels = {n for n, space in enumerate(layout.spaces) if space.kind in ("vein", "artery")}
    bags = {bag.fluid for bag in layout.bags if may_be_wet(layout, state, bag.fluid)}
    through = _with_bags_passable(layout, links)
    no_pass = frozenset(vessels | {OPEN_AIR})
    loop = union_of_paths(through, pump.head, {pump.head}, stop=no_pass)
    upstream = reached(reversed_links(links), [pump.head], stop=ends)
    downstream = reached(links, [pump.head], stop=ends)
    supply = upstream & (vessels | bags | {OPEN_AIR})
    sink = downstream & (ends - {pump.head})
    on_loop = bool(loop.spaces)
    names: set[str] = set()
    if not (sink or on_loop):
        names.add("dead-headed")
    elif not (supply or on_loop):
        names.add("starved")
    elif supply & vessels or sink & vessels:
        names.add("forward")
    else:
        names.add("recirculating")
    if state[pump.speed] < pump.lift_speed and any(layout.spaces[n].kind == "artery" for n in sink):
        names |= {"none", "reverse"}
    moving = bool(names & {"forward", "recirculating"})
    drive = union_of_paths(links, pump.head, sink | ({pump.head} if on_loop else set()), stop=ends) if moving else NOWHERE
    passed = loop.spaces | drive.spaces
    into_bags = {n for bag in layout.bags for n in (bag.headspace, bag.fluid)}
    vented = any(n in into_bags or any(link.to == OPEN_AIR for link in links[n]) for n in loop.spaces)
    drawn, pushed = _driven_out(layout, state, links, pump) if names == {"forward"} else (frozenset(), frozenset())
    signs = _pressure_when_driven(layout, state, links, pump, names, passed)
    pressure = tuple(ABOVE if space in pushed else sign for space, sign in enumerate(signs))
    flow = sum(1 << FLOWS.index(name) for name in names)
    return Hydraulics(links=links, flow=flow, pressure=pressure, loop=loop, drive=drive, vented=vented, drawn=drawn)


def _pressure_when_driven(
    layout: Layout, state: State, links: Links, pump: Pump, names: set[str], passed: frozenset[int]
) -> tuple[int, ...]:
    """Signs with the pump running: above the atmosphere from the pump to where the flow goes, as far as that is known."""
    signs = list(_static(layout, state, links))
    ends = end_points(layout)
    outlet_side = reached(links, [pump.head], stop=ends) - {pump.head}
    inlet_side = reached(reversed_links(links), [pump.head], stop=ends) - {pump.head}
    for space in outlet_side | inlet_side | {pump.head}:
        if space in ends or not may_be_wet(layout, state, space):
            continue
        signs[space] = UNKNOWN
    vessels = {n for n, space in enumerate(layout.spaces) if space.kind in ("vein", "artery")}
    if names == {"dead-headed"}:
        for space in outlet_side - ends:
            signs[space] = ABOVE
        return tuple(signs)
    if names == {"starved"}:
        for space in inlet_side - ends:
            signs[space] = BELOW
        return tuple(signs)
    if inlet_side & vessels and not inlet_side & {bag.fluid for bag in layout.bags}:
        for space in inlet_side - ends - outlet_side:
            signs[space] = BELOW
    if state[pump.speed] < pump.lift_speed and names & {"reverse"}:
        return tuple(signs)
    for space in _surely_above(layout, links, pump, outlet_side, passed):
        signs[space] = ABOVE
    return tuple(signs)


def _driven_out(layout: Layout, state: State, links: Links, pump: Pump) -> tuple[frozenset[int], frozenset[int]]:
    """The spaces before, and those behind, a pump that surely drives liquid out into the open air; else two empty sets.

    It surely does if it turns fast enough to hold against an artery, so that it lifts at least what the weakest artery
    does above its supply; the supply's level is known and not further below the opening than that; what comes to the pump
    is free of air and shut to it; and the opening is the only place where the flow can go. Then the pressure at a place no
    higher than the lowest opening is what the liquid weighs and what the flow costs from there on, neither of them below
    nothing. Higher places are left out: liquid falls away from them.
    """
    nowhere: tuple[frozenset[int], frozenset[int]] = (frozenset(), frozenset())
    ends = end_points(layout)
    behind = reached(links, [pump.head], stop=ends) - {pump.head}
    before = reached(reversed_links(links), [pump.head], stop=ends)
    supply = before & ends
    before -= ends
    if not pump.lifts(state) or behind & ends != {OPEN_AIR} or OPEN_AIR in supply or behind & before:
        return nowhere
    if any(contents_of(layout, state, space) & ~AIR_FREE for space in before | supply):
        return nowhere
    if any(link.to == OPEN_AIR for space in before for link in links[space]):
        return nowhere
    openings = [layout.spaces[n].height for n in behind - ends for link in links[n] if _lets_out(link)]
    hung = {bag.fluid: bag.height for bag in layout.bags if state[bag.hung] == 1}
    levels = [hung.get(space, _level_of_vessel(layout, space)) for space in supply]
    if not levels or None in levels or None in openings:
        return nowhere
    lowest = min(height for height in openings if height is not None)
    if lowest - min(level for level in levels if level is not None) >= ARTERY_HEAD_CM[0]:
        return nowhere
    heights = {space: layout.spaces[space].height for space in behind - ends}
    return frozenset(before), frozenset(n for n, height in heights.items() if height is not None and height <= lowest)


def _lets_out(link: Link) -> bool:
    return link.to == OPEN_AIR and not link.gas_only


def _level_of_vessel(layout: Layout, space: int) -> float | None:
    """The lowest level (cm) up to which a vessel holds a column of liquid; None if it is no vessel or not known."""
    found = layout.spaces[space]
    if found.kind not in ("vein", "artery") or found.height is None:
        return None
    return found.height + (VEIN_HEAD_CM if found.kind == "vein" else ARTERY_HEAD_CM)[0]


def _surely_above(layout: Layout, links: Links, pump: Pump, outlet_side: set[int], passed: frozenset[int]) -> set[int]:
    """Spaces between the pump's outlet and a place whose own pressure is known to be at or above theirs.

    Pressure falls along the flow, so what lies between the outlet and a bag's neck, a headspace, or a vessel is above
    the atmosphere if that place is; beyond it, towards the inlet, nothing is known.
    """
    known: dict[int, float] = {}
    for bag in layout.bags:
        known[bag.headspace] = known[bag.fluid] = bag.height
    anchors = {n for n in outlet_side if n in known or layout.spaces[n].kind in ("vein", "artery")}
    # A bag teed into the loop holds the pressure of the space it opens to.
    for bag in layout.bags:
        anchors |= {link.to for link in links[bag.fluid] if link.to in outlet_side}
        anchors |= reached(links, [bag.fluid], stop=frozenset(passed)) & outlet_side & passed
    above: set[int] = set()
    between = union_of_paths(links, pump.head, anchors, closed={pump.inlet} - anchors, stop=end_points(layout))
    for space in between.spaces - {pump.head}:
        height = layout.spaces[space].height
        top = max((h for h in known.values()), default=None)
        if layout.spaces[space].kind in ("bag", "headspace", "vein", "artery", "air"):
            continue
        if (
            not layout.bags
            or anchors <= {n for n in anchors if layout.spaces[n].kind in ("vein", "artery")}
            or (height is not None and top is not None and height < top)
        ):
            above.add(space)
    branches = reached(both_ways(links), above, stop=frozenset(passed) | end_points(layout)) - end_points(layout)
    return above | {space for space in branches if space not in passed}


def _static(layout: Layout, state: State, links: Links) -> tuple[int, ...]:
    """Signs with the pump standing still: heights against the bags, openings and vessels in open connection."""
    signs = [AT] * len(layout.spaces)
    undirected = both_ways(links)
    ends = end_points(layout)
    done: set[int] = set()
    for start in range(1, len(layout.spaces)):
        if start in done or start in ends or not may_be_wet(layout, state, start):
            continue
        group = reached(undirected, [start], stop=ends)
        inside = group - ends
        done |= inside
        low, high = _references(layout, state, undirected, group)
        for space in inside:
            if may_be_wet(layout, state, space):
                signs[space] = _sign(layout.spaces[space].height, low, high, inside)
    return tuple(signs)


def _references(layout: Layout, state: State, links: Links, group: set[int]) -> tuple[float | None, float | None]:
    """Lowest and highest level (cm) at which the group may be at atmospheric pressure; None where there is no such place."""
    levels: list[float] = []
    large: list[float] = []
    for bag in layout.bags:
        if bag.fluid in group or bag.headspace in group:
            level = bag.height if state[bag.hung] == 1 else 0.0
            large.append(level)
    for number in group:
        space = layout.spaces[number]
        if space.kind in ("vein", "artery"):
            near, far = VEIN_HEAD_CM if space.kind == "vein" else ARTERY_HEAD_CM
            large += [(space.height or 0.0) + near, (space.height or 0.0) + far]
        if number == OPEN_AIR:
            continue
        for link in links[number]:
            if link.to == OPEN_AIR and not link.gas_only:
                (large if link.large else levels).append(space.height or 0.0)
    # A luer's small bore lets little pass: beside a bag or a vessel it does not set the pressure.
    used = large or levels
    return (min(used), max(used)) if used else (None, None)


def _sign(height: float | None, low: float | None, high: float | None, inside: set[int]) -> int:
    if low is None or high is None:
        # A short limb shut at both ends keeps the pressure it had, near the atmosphere's; a larger closed set is unknown.
        return AT if len(inside) == 1 else UNKNOWN
    if height is None:
        return UNKNOWN
    signs = 0
    signs |= BELOW if height > low else 0
    signs |= ABOVE if height < high else 0
    signs |= AT if low <= height <= high else 0
    return signs
