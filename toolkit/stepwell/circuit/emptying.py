"""When a bag may run empty: what has gone out of it, and whether anything still leaves without end.

The model keeps no amounts. What a bag has given is taken to be what the set holds now, so whatever leaves the set makes
that count too small; from then on the bag may run empty at any time while it is open to the set.
"""

from __future__ import annotations

from stepwell.circuit.compile_rig import figure
from stepwell.circuit.contents import CLEAR, DRY, LIQUID, WET
from stepwell.circuit.hydraulics import Hydraulics, contents_of
from stepwell.circuit.layout import OPEN_AIR, Bag, Layout, State
from stepwell.circuit.links import both_ways, end_points, reached
from stepwell.model.tri import Tri


def runs_out(layout: Layout, water: Hydraulics, bag: Bag) -> bool:
    """True if liquid may leave for good: through a wide opening, an opening of the bag itself, a vessel, another bag."""
    ends = end_points(layout)
    seen = reached(water.links, [bag.fluid], stop=ends)
    if seen & ends - {bag.fluid, bag.headspace, OPEN_AIR}:
        return True
    openings = [(n, link) for n in (seen - ends) | {bag.fluid} for link in water.links[n] if link.to == OPEN_AIR]
    return any(not link.gas_only and (link.large or n == bag.fluid) for n, link in openings)


def may_run_empty(layout: Layout, state: State, water: Hydraulics, part: str) -> Tri:
    """Whether the bag may run empty while it is open to the set; NO while it is shut off from it."""
    bag = next(bag for bag in layout.bags if bag.part == part)
    if not _open_to_set(layout, water, bag):
        return Tri.NO
    if contents_of(layout, state, bag.fluid) & DRY:
        # An empty bag matters only to a set that holds liquid; joining one to a dry set is normal.
        return Tri.MAYBE if _meets_liquid(layout, state, water, bag) else Tri.NO
    if runs_out(layout, water, bag) or state[bag.spilt]:
        return Tri.MAYBE
    found = layout.rig.part(part)
    waste = None if found is None else figure(found, "waste", "mL")
    if waste is None and _bleeds(layout, water, bag):
        return Tri.MAYBE
    holds = layout.spaces[bag.fluid].volume - (waste or 0.0)
    least, most, known = _taken(layout, state)
    if least > holds:
        return Tri.YES
    return Tri.MAYBE if most > holds or not known else Tri.NO


def _open_to_set(layout: Layout, water: Hydraulics, bag: Bag) -> bool:
    """False only where the bag opens to nothing but lines and side branches that are shut at their other ends."""
    seen = reached(water.links, [bag.fluid], stop=end_points(layout)) - {bag.fluid}
    spaces = [layout.spaces[number] for number in seen]
    dead_end = all(space.kind in ("line", "stub", "tap") and not space.main for space in spaces)
    return not dead_end or any(link.to == OPEN_AIR for number in seen for link in water.links[number])


def _meets_liquid(layout: Layout, state: State, water: Hydraulics, bag: Bag) -> bool:
    seen = reached(both_ways(water.links), [bag.fluid], stop=end_points(layout)) - end_points(layout)
    return any(contents_of(layout, state, number) & LIQUID for number in seen)


def _bleeds(layout: Layout, water: Hydraulics, bag: Bag) -> bool:
    """True if the bag is in open connection with a luer opening; ``waste`` is what these may take."""
    seen = reached(water.links, [bag.fluid], stop=end_points(layout))
    return any(link.to == OPEN_AIR and not link.gas_only for n in seen for link in water.links[n])


def _taken(layout: Layout, state: State) -> tuple[float, float, bool]:
    """What the set holds of the bag's liquid in mL, at least and at most, and whether every volume is known.

    Blood came from elsewhere. A side branch of unknown volume holds drops, which ``waste`` is for.
    """
    least = most = 0.0
    known = True
    for space in layout.spaces:
        if space.contents is None or space.kind in ("bag", "vein", "artery"):
            continue
        mask = state[space.contents]
        if not mask & (WET | CLEAR):
            continue
        known = known and (space.volume > 0.0 or space.branch)
        most += space.volume
        least += 0.0 if mask & ~(WET | CLEAR) else space.volume
    return least, most, known
