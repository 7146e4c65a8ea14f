"""What lies on one side of a joint, and what pushes there."""

from __future__ import annotations

from collections.abc import Collection

from stepwell.circuit.hydraulics import may_be_wet
from stepwell.circuit.links import both_ways, end_points, every_link, open_links, reached
from stepwell.circuit.view import View


def own_side(view: View, end: str) -> set[int]:
    """Spaces in open connection with the end, with its own joint taken as shut."""
    links = both_ways(open_links(view.layout, view.state, ignore=(end,)))
    return reached(links, [view.layout.end_of(end).space], stop=end_points(view.layout))


def pushes(view: View, spaces: Collection[int]) -> bool:
    """True if a hung bag with fluid, a running pump or a vessel is among the spaces."""
    layout = view.layout
    if any(layout.spaces[space].kind in ("vein", "artery") for space in spaces):
        return True
    for bag in layout.bags:
        if bag.fluid in spaces and view.state[bag.hung] == 1 and may_be_wet(layout, view.state, bag.fluid):
            return True
    pump = layout.pump
    return pump is not None and pump.head in spaces and view.state[pump.speed] > 0


def patient_attached(view: View) -> bool:
    """True if a vessel is joined, clamps or no clamps, to a space of the main path."""
    layout = view.layout
    vessels = [n for n, space in enumerate(layout.spaces) if space.kind in ("vein", "artery")]
    links = every_link(layout, view.state)
    stop = end_points(layout)
    return any(layout.spaces[space].main for vessel in vessels for space in reached(links, [vessel], stop=stop))
