"""When a zero is true: the one place that knows how each kind of sensor must be zeroed."""

from __future__ import annotations

from stepwell.circuit.contents import DRY, LIQUID, within
from stepwell.circuit.hydraulics import contents_of
from stepwell.circuit.layout import OPEN_AIR
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, conjunction, disjunction, tri


def zeroed_rightly(view: View, sensor: str) -> bool:
    """True only if the zero is surely true in this state."""
    part = view.layout.rig.part(sensor)
    if part is None:
        return False
    if part.kind == "flow-sensor":
        site = part.ref("site")[0]
        return conjunction((within(view.contents(site), LIQUID), still(view), clamped_both_sides(view, sensor))) is Tri.YES
    site = part.ref("site")[0]
    if "fluid-line" in part.traits:
        return conjunction((chamber_wet(view, sensor), opened_to_air(view, sensor))) is Tri.YES
    return conjunction((within(view.contents(site), DRY), still(view))) is Tri.YES


def still(view: View) -> Tri:
    """The pump stands still."""
    pump = view.layout.pump(view.state)
    return tri(pump is None or view.state[pump.speed] == 0)


def clamped_both_sides(view: View, sensor: str) -> Tri:
    """At least one of the clamps before the sensor and one of those behind it is shut."""
    part = view.layout.rig.part(sensor)
    if part is None:
        return Tri.NO
    sides = (part.ref("before"), part.ref("after"))
    return conjunction(disjunction(tri(view.word(clamp, "gate") == "shut") for clamp in side) for side in sides)


def chamber_wet(view: View, sensor: str) -> Tri:
    """The chamber of the sensor's tap holds liquid; NO where the sensor has no tap."""
    part = view.layout.rig.part(sensor)
    taps = part.ref("tap") if part is not None else ()
    return within(contents_of(view.layout, view.state, view.layout.space_of[taps[0]]), LIQUID) if taps else Tri.NO


def opened_to_air(view: View, sensor: str) -> Tri:
    """The sensor's tap is shut to the line and its chamber is in open connection with the air (so no cap is on)."""
    part = view.layout.rig.part(sensor)
    taps = part.ref("tap") if part is not None else ()
    if not taps or view.word(taps[0], "position") != "air":
        return Tri.NO
    return tri(any(link.to == OPEN_AIR for link in view.water.links[view.layout.space_of[taps[0]]]))
