"""What lies on one side of a joint, and what pushes there."""

from __future__ import annotations

from collections.abc import Collection

from stepwell.circuit.hydraulics import may_be_wet
from stepwell.circuit.links import both_ways, end_points, every_link, open_links, reached
from stepwell.circuit.paths import union_of_paths
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
    pump = layout.pump(view.state)
    return pump is not None and pump.head in spaces and pump.turns(view.state)


def patient_attached(view: View) -> bool:
    """True if a vessel is joined, clamps or no clamps, to a space of the main path."""
    layout = view.layout
    vessels = [n for n, space in enumerate(layout.spaces) if space.kind in ("vein", "artery")]
    links = every_link(layout, view.state)
    stop = end_points(layout)
    return any(layout.spaces[space].main for vessel in vessels for space in reached(links, [vessel], stop=stop))


def _before_an_end(view: View) -> frozenset[int]:
    """Where a way from the pump's outlet ends: bags, vessels, the open air, and the pump head itself."""
    pump = view.layout.pump(view.state)
    return end_points(view.layout) | ({pump.head} if pump is not None else set())


def outlet_open_to_patient(view: View) -> bool:
    """True if a vessel is in open connection with the outlet of the pump, not counting the way back through the pump."""
    pump = view.layout.pump(view.state)
    if pump is None:
        return False
    seen = reached(both_ways(view.water.links), [pump.outlet], stop=_before_an_end(view))
    return any(view.layout.spaces[space].kind in ("vein", "artery") for space in seen)


def outlet_clamps(view: View) -> frozenset[str]:
    """Clamps on a way from the outlet of the pump to an artery, with everything taken as open that can be opened."""
    pump = view.layout.pump(view.state)
    arteries = {n for n, space in enumerate(view.layout.spaces) if space.kind == "artery"}
    if pump is None or not arteries:
        return frozenset()
    links = every_link(view.layout, view.state)
    found = union_of_paths(links, pump.outlet, arteries, closed={pump.head}, stop=end_points(view.layout))
    ways = {frozenset(way) for way in found.ways}
    return frozenset(part for gate in view.layout.gates if frozenset((gate.a, gate.b)) in ways for part in gate.parts)
