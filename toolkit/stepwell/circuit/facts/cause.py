"""cause: what an automatic response watches for is there."""

from __future__ import annotations

from stepwell.circuit.contents import AIR_FREE, within
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.hydraulics import FLOWS
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, negation


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """Air at the site of a bubble sensor; at a flow sensor, a pump that runs without driving blood forward."""
    part = view.layout.rig.part(args[0])
    sensor = None if part is None else view.layout.rig.part(part.ref("watches")[0])
    if sensor is None:
        return Tri.NO
    if sensor.kind == "bubble-sensor":
        return negation(within(view.contents(sensor.ref("site")[0]), AIR_FREE))
    pump = view.layout.pump(view.state)
    if pump is None or view.state[pump.speed] == 0:
        return Tri.NO
    moving = sum(1 << FLOWS.index(word) for word in ("forward", "recirculating"))
    return negation(within(view.water.flow, moving))


FACT = FactEntry(
    name="cause",
    summary="What the automatic response watches for is there: air at the bubble sensor, or a pump that runs without flow.",
    args=(ArgSpec(name="part", kinds=("response",)),),
    yes="{0} has a cause",
    no="{0} has no cause",
    observed=("display",),
    evaluate=evaluate,
)
