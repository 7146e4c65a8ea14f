"""The hammer: moving liquid that is stopped short pulls gas through the fibres of the oxygenator.

Seen in a laboratory: a pump stopped abruptly at speed released air in some oxygenators. Which speeds are gentle is the
rig's data (``soft-speed``), not the model's.
"""

from __future__ import annotations

from stepwell.circuit.contents import LIQUID, within
from stepwell.circuit.hydraulics import FLOWS, Hydraulics, hydraulics
from stepwell.circuit.layout import Layout, Pump, State
from stepwell.circuit.links import end_points, reached, reversed_links
from stepwell.circuit.paths import union_of_paths
from stepwell.model.tri import Tri, disjunction

MOVING = sum(1 << FLOWS.index(name) for name in ("forward", "reverse", "recirculating"))


def hammered(layout: Layout, before: State, water: Hydraulics, after: State, clamp: str | None = None) -> Tri:
    """Whether the step from ``before`` (whose hydraulics are ``water``) to ``after`` stops moving liquid short.

    ``clamp``: the part that was shut; None where the pump was stopped or slowed abruptly. MAYBE wherever it depends on
    an uncertain flow, an uncertain content, a parallel way, or by how much the pump was slowed.
    """
    pump = layout.pump(before)
    if pump is None or not pump.turns(before) or before[pump.speed] <= pump.soft_speed or not water.flow & MOVING:
        return Tri.NO
    masks = [before[s.contents] for s in layout.spaces if s.kind == "oxygenator" and s.contents is not None]
    wet = disjunction(within(mask, LIQUID) for mask in masks)
    sure = not water.flow & ~MOVING
    if clamp is None:
        later = layout.pump(after)
        return min(wet, Tri.YES if sure and (later is None or not later.turns(after)) else Tri.MAYBE)
    on_way, exact = _on_moving_path(layout, before, water, pump, clamp)
    if not on_way:
        return Tri.NO
    stopped = not hydraulics(layout, after).flow & MOVING
    return min(wet, Tri.YES if sure and exact and stopped else Tri.MAYBE)


def _on_moving_path(layout: Layout, state: State, water: Hydraulics, pump: Pump, clamp: str) -> tuple[bool, bool]:
    """Whether the part stands open on a way along which the pump moves liquid, and whether that is exact."""
    ends = end_points(layout)
    back = reversed_links(water.links)
    supply = reached(back, [pump.head], stop=ends) & ends
    before = union_of_paths(back, pump.head, supply, stop=ends)
    found = (water.drive, water.loop, before)
    ways = {frozenset(way) for paths in found for way in paths.ways}
    gates = [gate for gate in layout.gates if clamp in gate.parts]
    met = [gate for gate in gates if all(state[need.variable] in need.values for need in gate.needs)]
    return any(frozenset((gate.a, gate.b)) in ways for gate in met), all(paths.exact for paths in found)
