"""run: the pump."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.contents import AIR_FREE, within
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.circuit.hammer import hammered
from stepwell.model.procedure import Action
from stepwell.model.quantity import Quantity
from stepwell.model.tri import Tri
from stepwell.quantities.units import to


def effect(bench: Bench, action: Action) -> str | None:
    """Run the drive at the speed ``at``; it goes on running. ``for`` is how long the person lets it run before going on.

    An automatic response that is live while its cause exists keeps the drive from running, as it does in reality; a drive
    that is turned by hand obeys none. ``abrupt`` matters where the new speed is lower than the old one.
    """
    part = action.parts[0]
    before = tuple(bench.values)
    pump = bench.layout.pump(before)
    if pump is None or bench.values[pump.seated] != 0:
        return f"no pump head sits on {bench.label(part)}"
    if pump.drive != part:
        return f"the pump head sits on {bench.label(pump.drive)}, not on {bench.label(part)}"
    stopped = "" if pump.hand else _stopped_by(bench)
    if stopped:
        return stopped
    speed = action.option("at")
    rpm = int(to(speed, "rpm")) if isinstance(speed, Quantity) else 0
    if rpm <= 0:
        return "a speed above zero is needed"
    slower = rpm < bench.number(part, "speed")
    if bench.number(part, "speed") == rpm and action.option("for") is None:
        bench.already = f"{bench.label(part)} runs at that speed already"
    bench.write_number(part, "speed", rpm)
    if slower and action.option("abrupt") is True:
        bench.happens("hammered", part, hammered(bench.layout, before, bench.view.water, tuple(bench.values)))
    bench.lasts(action)
    return None


def _stopped_by(bench: Bench) -> str:
    """Which live response keeps the pump from running, and why; empty if none does."""
    for other in bench.layout.rig.parts:
        if other.kind == "response" and bench.word(other.id, "response") == "live":
            cause = _cause(bench, other.ref("watches")[0])
            if cause:
                return f"{bench.label(other.id)} is live and stops it: {cause}"
    return ""


def _cause(bench: Bench, sensor: str) -> str:
    found = bench.layout.rig.part(sensor)
    if found is None or bench.word(sensor, "fit") != "fitted" or found.kind != "bubble-sensor":
        return ""
    site = found.ref("site")[0]
    if within(bench.number(site, "contents"), AIR_FREE) is Tri.NO:
        return f"{bench.label(sensor)} sees air in {bench.label(site)}"
    return ""


VERB = Verb(
    name="run",
    summary="Run the pump at a speed, for a time if one is stated; it goes on running until it is stopped.",
    words=("run", "start", "set", "raise", "circulate"),
    does="runs {0} at {at}",
    pairs=(("drive",),),
    arity=Arity.EACH,
    effect=effect,
    options=(
        OptionSpec(name="at", takes="speed", summary="the speed", required=True),
        OptionSpec(name="for", takes="time", summary="how long it is left running before anything else"),
        OptionSpec(name="abrupt", takes="flag", summary="set at once, not by a ramp"),
    ),
)
