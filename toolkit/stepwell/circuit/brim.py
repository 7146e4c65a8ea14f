"""What filling two ends to the brim takes away: the air that came in by those ends, and no other.

For every end a state remembers whether all the air that its space may hold came in by this end, since the space was last
surely free of air. A wet join takes just that air away. Air that a limb was never rid of, or that came from elsewhere
while the end was bare, stays in it, and a limb that was never filled stays so.
"""

from __future__ import annotations

from stepwell.circuit.contents import AIR_FREE, BLOOD, CLEAR, DRY, WET
from stepwell.circuit.layout import BARE, FIRST_MATE, End, Layout, State
from stepwell.circuit.links import Links, both_ways, end_points, open_links, reached


def brims_before(layout: Layout, state: State) -> State:
    """Whatever comes in from now on by an end whose space is surely free of air can be taken away again at that end."""
    values = list(state)
    for end in layout.ends:
        if state[end.mate] >= FIRST_MATE:
            values[end.brim] = 0
        elif _clean(layout, state, end.space):
            values[end.brim] = 1
    return tuple(values)


def brims_after(layout: Layout, before: State, state: State) -> State:
    """Air that came from elsewhere, or that can go on from the space to others, is out of the reach of its end."""
    values = list(state)
    links: Links | None = None
    for end in layout.ends:
        if not state[end.brim] or _clean(layout, state, end.space):
            continue
        links = both_ways(open_links(layout, state)) if links is None else links
        if _from_elsewhere(layout, before, state, end, links):
            values[end.brim] = 0
    return tuple(values)


def _from_elsewhere(layout: Layout, before: State, state: State, end: End, links: Links) -> bool:
    variable = layout.spaces[end.space].contents
    if variable is None:
        return True
    if state[end.mate] != BARE and before[variable] != state[variable]:
        return True
    if any(link.to == 0 and layout.gates[link.gate].parts != (end.part,) for link in links[end.space]):
        return True
    ends = end_points(layout)
    others = reached(links, [end.space], stop=ends, gas=True) - ends - {end.space}
    return any(not _clean(layout, state, space) for space in others)


def _clean(layout: Layout, state: State, space: int) -> bool:
    variable = layout.spaces[space].contents
    return variable is not None and not state[variable] & ~AIR_FREE


def filled_to_the_brim(state: State | list[int], end: End, mask: int) -> int:
    """The contents of the space of ``end``, now ``mask``, once the end was dripped full and pushed together under liquid."""
    if state[end.brim] or not mask & ~AIR_FREE:
        return BLOOD if mask == BLOOD else CLEAR
    return mask | WET if mask & DRY else mask
