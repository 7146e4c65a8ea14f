"""air-to-patient: liquid that holds air flows towards a vessel."""

from __future__ import annotations

from stepwell.circuit.contents import AIR_FREE, within
from stepwell.circuit.entry import FactEntry
from stepwell.circuit.hydraulics import FLOWS, contents_of
from stepwell.circuit.links import end_points
from stepwell.circuit.paths import union_of_paths
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction, negation


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """May be so as soon as flow may be forward and a space between pump and vessel may hold anything but air-free liquid."""
    pump, layout, flow = view.layout.pump(view.state), view.layout, view.water.flow
    if pump is None or not flow & 1 << FLOWS.index("forward"):
        return Tri.NO
    vessels = {n for n, space in enumerate(layout.spaces) if space.kind in ("vein", "artery")}
    way = union_of_paths(view.water.links, pump.head, vessels, stop=end_points(layout))
    passed = [space for space in way.spaces - end_points(layout) if layout.spaces[space].contents is not None]
    airy = disjunction(negation(within(contents_of(layout, view.state, space), AIR_FREE)) for space in passed)
    return airy if flow == 1 << FLOWS.index("forward") and way.exact else min(airy, Tri.MAYBE)


FACT = FactEntry(
    name="air-to-patient",
    summary="Liquid with air in it, or air, flows or may flow towards a vessel of the patient.",
    args=(),
    yes="air flows towards the patient",
    no="no air flows towards the patient",
    observed=(),
    evaluate=evaluate,
)
