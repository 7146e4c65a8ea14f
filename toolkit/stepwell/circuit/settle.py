"""What follows from an action, computed to a fixpoint: the new state and the derived events.

Within one settle possibilities are only added (a dry space may now hold liquid, an air-free one may now hold air), and
every pass looks at one whole state, so the result does not depend on the order of gates and spaces. Only after that, and
only if the action lasted a stated time, are the processes under way completed: filling, rinsing of side branches, de-airing.
"""

from __future__ import annotations

from typing import NamedTuple

from stepwell.circuit.brim import brims_after, brims_before
from stepwell.circuit.compile_rig import figure
from stepwell.circuit.contents import AIR_FREE, BLOOD, CLEAR, DRY, LIQUID, WET
from stepwell.circuit.emptying import runs_out
from stepwell.circuit.equipment import time_on_battery
from stepwell.circuit.filling import Filling, filling
from stepwell.circuit.flushing import flush_through, flushed
from stepwell.circuit.hydraulics import ABOVE, BELOW, FLOWS, SURELY_ONWARD, Hydraulics, hydraulics
from stepwell.circuit.layout import OPEN_AIR, Bag, Layout, Space, State
from stepwell.circuit.links import Links, both_ways, end_points, reached, reversed_links
from stepwell.circuit.memory import remembered
from stepwell.circuit.paths import union_of_paths
from stepwell.model.tri import Tri


class Event(NamedTuple):
    """Something that happened because of an action.

    ``kind`` is ``air-entered``, ``gas-through-fibres``, ``spilled`` or ``reversed``, which follow from it, or
    ``joined-dry`` or ``hammered``, which verbs note.
    """

    kind: str
    part: str
    certainty: Tri


class Settled(NamedTuple):
    """The state an action leads to, and what happened on the way."""

    state: State
    events: frozenset[Event]


def settle(layout: Layout, state: State, seconds: float | None = None) -> Settled:
    """Derive what follows in ``state``; ``seconds`` is how long the action lasted, None if it states no time."""
    events: set[Event] = set()
    state = _spread(layout, state, events)
    if seconds is not None:
        state = _complete(layout, state, seconds)
        state = _spread(layout, state, events)
    return Settled(state, frozenset(events))


def waited_for(layout: Layout, state: State) -> State:
    """The state once the filling under way has been watched to its end. De-airing is not: it needs its stated times."""
    values = list(state)
    _fill_up(layout, filling(layout, state), values, long_enough=True)
    return _spread(layout, tuple(values), set())


def _spread(layout: Layout, state: State, events: set[Event]) -> State:
    before = state = brims_before(layout, state)
    while True:
        found = _one_pass(layout, state)
        events |= found.events
        if not found.changes:
            return brims_after(layout, before, state)
        values = list(state)
        for variable, value in found.changes:
            values[variable] = value
        state = tuple(values)


class _Pass(NamedTuple):
    """What one look at a whole state adds to it, as (variable, new value), and what happens."""

    changes: tuple[tuple[int, int], ...]
    events: frozenset[Event]


@remembered
def _one_pass(layout: Layout, state: State) -> _Pass:
    water = hydraulics(layout, state)
    fill = filling(layout, state)
    events: set[Event] = set()
    masks: dict[int, int] = {}
    for space in fill.may:
        variable = layout.spaces[space].contents
        if variable is not None and state[variable] & DRY:
            masks[space] = masks.get(space, 0) | WET
    for space in _downstream_of_air(layout, state, fill):
        masks[space] = masks.get(space, 0) | WET
    for space in _air_entered(layout, state, water, events):
        masks[space] = masks.get(space, 0) | WET
    drained = _drained(layout, state, water)
    for space in drained:
        masks[space] = masks.get(space, 0) | WET | 1
    for space, mask in flushed(layout, state, water).items():
        masks[space] = masks.get(space, 0) | mask
    _note_spills(layout, state, water, events)
    values = _added(layout, state, masks)
    for bag in layout.bags:
        if drained or runs_out(layout, water, bag):
            values[bag.spilt] = 1
    changes = tuple((variable, value) for variable, value in values.items() if state[variable] != value)
    if not changes:
        _note_reverse(layout, state, water, events)
    return _Pass(changes, frozenset(events))


def _added(layout: Layout, state: State, masks: dict[int, int]) -> dict[int, int]:
    """The variables that what comes into the spaces is written to, with their values then."""
    values: dict[int, int] = {}
    for space, mask in masks.items():
        variable = layout.spaces[space].contents
        if variable is None or layout.spaces[space].kind in ("bag", "vein", "artery"):
            continue
        held = values.get(variable, state[variable])
        if mask & WET and not held & WET:
            cycles = layout.index.get((layout.spaces[space].part, "cycles"))
            if cycles is not None:
                values[cycles] = 0
        values[variable] = held | mask
    return values


def _downstream_of_air(layout: Layout, state: State, fill: Filling) -> set[int]:
    """Air-free spaces into which the filling pushes air from a space before them."""
    after: dict[int, set[int]] = {}
    for here, there in fill.ways:
        after.setdefault(here, set()).add(there)
    todo = [n for n in fill.may if (v := layout.spaces[n].contents) is not None and state[v] & ~AIR_FREE]
    ends = end_points(layout)
    seen: set[int] = set()
    while todo:
        for there in after.get(todo.pop(), ()):
            if there not in seen and there not in ends:
                seen.add(there)
                todo.append(there)
    return {n for n in seen if (v := layout.spaces[n].contents) is not None and state[v] & AIR_FREE}


def _air_entered(layout: Layout, state: State, water: Hydraulics, events: set[Event]) -> set[int]:
    """Air goes in where a wet space that may be below the atmosphere is open to it, and on with the flow.

    An oxygenator is open to the gas side through its fibres; whether gas comes through them is never sure.
    """
    entered: set[int] = set()
    ends = end_points(layout)
    for number, space in enumerate(layout.spaces):
        if space.contents is None or not state[space.contents] & LIQUID or not water.pressure[number] & BELOW:
            continue
        opened = any(link.to == OPEN_AIR for link in water.links[number])
        if not opened and not _through_fibres(layout, state, water, number):
            continue
        sure = opened and water.pressure[number] == BELOW and not state[space.contents] & DRY
        kind = "air-entered" if opened else "gas-through-fibres"
        events.add(Event(kind, space.part, Tri.YES if sure else Tri.MAYBE))
        entered |= reached(_ways_of_air(layout, state, water, number), [number], stop=ends) - ends
    return {n for n in entered if (v := layout.spaces[n].contents) is not None and state[v] & LIQUID}


def _through_fibres(layout: Layout, state: State, water: Hydraulics, number: int) -> bool:
    """True if gas may come through the fibres of an oxygenator, a membrane that nobody can cover.

    Where the pump turns, or the place is shut off from all that sets its pressure, that is left to the rules: the sign is
    then unknown and not a sign of suction.
    """
    pump = layout.pump(state)
    if layout.spaces[number].kind != "oxygenator" or (pump is not None and pump.turns(state)):
        return False
    ends = end_points(layout)
    return bool(reached(both_ways(water.links), [number], stop=ends) & ends)


def _ways_of_air(layout: Layout, state: State, water: Hydraulics, opening: int) -> Links:
    """The ways that air takes from an opening: anywhere while nothing moves, and not against a flow that is sure.

    Only before the pump, and only at a speed that holds against an artery, is the flow known well enough for that: there
    the pump draws everything towards itself. What goes round and comes back is downstream of the opening like the rest.
    """
    if not (water.drive.spaces or water.loop.spaces):
        return both_ways(water.links)
    pump = layout.pump(state)
    if pump is None or not pump.lifts(state) or water.flow not in SURELY_ONWARD:
        return water.links
    ends = end_points(layout)
    if opening in reached(water.links, [pump.head], stop=ends):
        return water.links
    back = reversed_links(water.links)
    supply = reached(back, [pump.head], stop=ends) & ends
    drawn = union_of_paths(back, pump.head, supply, stop=ends)
    if not drawn.exact:
        return water.links
    # Found backwards, a way (here, there) is a flow from there to here; against it no air goes.
    against = drawn.ways - {(there, here) for here, there in drawn.ways}
    return tuple(tuple(link for link in out if (here, link.to) not in against) for here, out in enumerate(water.links))


def _drained(layout: Layout, state: State, water: Hydraulics) -> set[int]:
    """Liquid that nothing holds: open to the air through a wide end, or through two places with no bag above.

    A bag that lies, or hangs below the place, is a place where liquid can go.
    """
    undirected = both_ways(water.links)
    ends = end_points(layout)
    lost: set[int] = set()
    for number, space in enumerate(layout.spaces):
        if space.contents is None or number in ends or not state[space.contents] & LIQUID:
            continue
        if water.pressure[number] == ABOVE or number in water.drawn:
            continue
        group = reached(undirected, [number], stop=ends)
        bags = [bag for bag in layout.bags if bag.fluid in group or bag.headspace in group]
        if any(bag.fluid in group and state[bag.hung] == 1 and not _below(bag, space) for bag in bags):
            continue
        openings = [link for n in group - ends for link in undirected[n] if link.to == OPEN_AIR]
        liquid_ways = [link for link in openings if not link.gas_only]
        drains = len(liquid_ways) + len(bags)
        if any(link.large for link in liquid_ways) or (drains and len({link.gate for link in openings}) + len(bags) > 1):
            lost.add(number)
    return lost


def _below(bag: Bag, space: Space) -> bool:
    """True if a hung bag is not known to stand above the space: then it is a drain for it and no source."""
    return space.height is not None and space.height >= bag.height


def _note_spills(layout: Layout, state: State, water: Hydraulics, events: set[Event]) -> None:
    for number, space in enumerate(layout.spaces):
        if space.contents is None or not state[space.contents] & LIQUID or not water.pressure[number] & ABOVE:
            continue
        if any(link.to == OPEN_AIR and not link.gas_only for link in water.links[number]):
            sure = water.pressure[number] == ABOVE and not state[space.contents] & DRY
            events.add(Event("spilled", space.part, Tri.YES if sure else Tri.MAYBE))


def _note_reverse(layout: Layout, state: State, water: Hydraulics, events: set[Event]) -> None:
    backwards = 1 << FLOWS.index("reverse")
    pump = layout.pump(state)
    if water.flow & backwards and pump is not None:
        events.add(Event("reversed", pump.drive, Tri.YES if water.flow == backwards else Tri.MAYBE))


def _complete(layout: Layout, state: State, seconds: float) -> State:
    """Bring the processes under way to their end, as far as ``seconds`` and the rig's data allow."""
    water = hydraulics(layout, state)
    fill = filling(layout, state)
    values = list(state)
    _fill_up(layout, fill, values, long_enough=seconds >= _fill_time(layout))
    _clear(layout, water, values, seconds)
    flush_through(layout, state, water, values, seconds)
    time_on_battery(layout, values, seconds)
    return tuple(values)


def _fill_up(layout: Layout, fill: Filling, values: list[int], *, long_enough: bool) -> None:
    for space in fill.sure:
        variable = layout.spaces[space].contents
        # A side branch holds a few drops: any stated time fills it.
        if variable is not None and values[variable] & DRY and (long_enough or layout.spaces[space].branch):
            values[variable] = values[variable] & ~DRY | WET
    _rinse(layout, fill, values)


def _fill_time(layout: Layout) -> float:
    times = [figure(part, "fill-time", "s") for part in layout.rig.parts if part.kind == "bag"]
    return max((t for t in times if t is not None), default=0.0)


def _rinse(layout: Layout, fill: Filling, values: list[int]) -> None:
    """A side branch with outflow takes the worst contents of what flows into it."""
    for _ in range(len(fill.sure)):
        changed = False
        for space in sorted(fill.sure):
            variable = layout.spaces[space].contents
            if variable is None or not layout.spaces[space].branch:
                continue
            into = [here for here, there in fill.ways if there == space]
            masks = [values[v] for here in into if (v := layout.spaces[here].contents) is not None]
            worst = 0
            for mask in masks:
                worst |= WET if mask & DRY else 0
                worst |= mask & LIQUID
            if worst and worst != values[variable]:
                values[variable], changed = worst, True
        if not changed:
            return


def _clear(layout: Layout, water: Hydraulics, values: list[int], seconds: float) -> None:
    """De-airing: while the pump drives liquid round a loop from which air can leave, the loop becomes air-free.

    Parts that state ``clear-runs`` need that many runs at their speed and for their time, with a stop between.
    """
    pump = layout.pump(tuple(values))
    if pump is None:
        return
    moving = bool(water.loop.spaces) and water.loop.exact and water.vented
    speed = values[pump.speed]
    whole = _is_a_whole_run(layout, water, speed, seconds)
    ready: list[int] = []
    for number, space in enumerate(layout.spaces):
        part = layout.rig.part(space.part)
        if part is None or space.contents is None or space.kind == "headspace":
            continue
        cycles = layout.index.get((space.part, "cycles"))
        on_loop = moving and number in water.loop.spaces
        if cycles is None:
            ready += [number] if on_loop and whole else []
            continue
        ran = layout.index[space.part, "ran"]
        if speed == 0:
            if seconds >= (figure(part, "clear-stop", "s") or 0.0):
                values[ran] = 0
        elif on_loop and speed >= (figure(part, "clear-speed", "rpm") or 0.0):
            long_enough = seconds >= (figure(part, "clear-time", "s") or 0.0)
            runs = int(figure(part, "clear-runs", "count") or 1)
            if long_enough and values[ran] == 0 and not values[space.contents] & DRY:
                values[cycles] = min(runs, values[cycles] + 1)
                values[ran] = 1
            if values[cycles] >= runs:
                ready.append(number)
    for number in ready:
        variable = layout.spaces[number].contents
        if variable is not None and not values[variable] & DRY and values[variable] & WET:
            values[variable] = values[variable] & ~WET or CLEAR
            if values[variable] & BLOOD and values[variable] & CLEAR:
                values[variable] = BLOOD


def _is_a_whole_run(layout: Layout, water: Hydraulics, speed: int, seconds: float) -> bool:
    """True if a run is as fast and as long as every part on the loop that says so asks for one of its runs.

    Lines state no times of their own; what does not clear the oxygenator does not clear them either.
    """
    parts = [part for n in water.loop.spaces if (part := layout.rig.part(layout.spaces[n].part)) is not None]
    speeds = [figure(part, "clear-speed", "rpm") or 0.0 for part in parts]
    times = [figure(part, "clear-time", "s") or 0.0 for part in parts]
    return speed >= max(speeds, default=0.0) and seconds >= max(times, default=0.0)
