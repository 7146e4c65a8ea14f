"""Equipment beside the blood path: gas sources, carbon dioxide, electricity, the move, packs, sounds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stepwell.circuit.apply import Done, do
from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.contents import AIR, CLEAR, CO2, WET
from stepwell.circuit.fact_table import fact
from stepwell.circuit.layout import State
from stepwell.circuit.settings import apply_settings, baseline_state
from stepwell.circuit.view import View
from stepwell.model.procedure import Action
from stepwell.model.rig import Part, Setting
from stepwell.model.tri import Tri
from stepwell.report.circuit_state import circuit_state
from tests.circuit.small import case_set
from tests.circuit.test_settle import quantity
from tests.demo import rig


def part(name: str, kind: str, label: str, *, words: dict[str, str] | None = None, **more: str | tuple[str, ...]) -> Part:
    """A part; a text with a unit is a figure, a tuple is a reference."""
    data = tuple((key.replace("_", "-"), quantity(value)) for key, value in more.items() if isinstance(value, str))
    refs = tuple((key, value) for key, value in more.items() if isinstance(value, tuple))
    return Part(id=name, kind=kind, label=label, data=data, refs=refs, words=tuple((words or {}).items()))


def source(name: str, label: str, gas: str, store: str, **more: str) -> Part:
    return part(name, "gas-source", label, words={"gas": gas, "store": store}, **more)


EXTRA = (
    part("gas", "gas-supply", "sweep gas", oxygenator=("oxygenator",), flow="4 L/min"),
    source("wall", "wall oxygen", "oxygen", "piped"),
    source("cylinder", "oxygen cylinder", "oxygen", "cylinder", holds="600 L"),
    source("small", "small cylinder", "oxygen", "cylinder", holds="400 L"),
    source("grey", "grey cylinder", "co2", "cylinder"),
    part("outlet", "gas-outlet", "gas outlet", gas=("gas",)),
    part("flush", "co2-flush", "flush line", site=("post-line",), flush_time="5 min"),
    part("console", "power", "console", lasts="130 min", proof_time="10 min"),
    part("trolley", "frame", "trolley", journey="60 min"),
    part("crank", "backup", "hand drive"),
    part("flow-stop", "response", "stop without flow", watches=("flow-sensor",)),
    part("pack", "sterile-pack", "pack of lines", ends=("prime-spike",)),
)
RIG = replace(rig(), parts=(*rig().parts, *EXTRA))
LAYOUT = compile_rig(RIG)
START = baseline_state(LAYOUT, next(one for one in RIG.baselines if one.name == "unpacked"))


def so(*settings: tuple[str, str], base: State = START) -> State:
    return apply_settings(LAYOUT, base, [Setting(part=name, word=word) for name, word in settings])


def tried(state: State, verb: str, *parts: str, time: str = "") -> Done:
    options = (("for", quantity(time)),) if time else ()
    return do(LAYOUT, state, (Action(verb=verb, parts=parts, options=options),))


def done(state: State, *actions: tuple[str, ...], time: str = "") -> State:
    for verb, *parts in actions:
        after = tried(state, verb, *parts, time=time)
        assert after.state is not None, after.refused
        state = after.state
    return state


def says(state: State, name: str, *args: str) -> Tri:
    entry = fact(name)
    assert entry is not None
    return entry.evaluate(View(LAYOUT, state), args)


ON_WALL = so(("gas", "connected:wall"), ("wall", "open"), ("gas", "gas-on"))


def test_gas_flows_only_with_the_meter_on_and_an_open_source() -> None:
    assert says(ON_WALL, "gas-flowing", "gas") is Tri.YES
    assert says(ON_WALL, "piped", "gas") is Tri.YES
    for lost in (("gas", "gas-off"), ("wall", "shut"), ("gas", "disconnected"), ("gas", "connected:cylinder")):
        assert says(so(lost, base=ON_WALL), "gas-flowing", "gas") is Tri.NO


def test_a_rig_without_gas_sources_leaves_the_source_to_its_reader() -> None:
    plain = compile_rig(replace(RIG, parts=(*rig().parts, EXTRA[0])))
    state = apply_settings(plain, baseline_state(plain, RIG.baselines[0]), [Setting(part="gas", word="gas-on")])
    entry = fact("gas-flowing")
    assert entry is not None
    assert entry.evaluate(View(plain, state), ("gas",)) is Tri.YES


def test_the_swap_from_wall_to_cylinder() -> None:
    refused = tried(ON_WALL, "connect-gas", "gas", "cylinder").refused
    assert refused == "sweep gas is still on wall oxygen; take it off first"
    moved = done(ON_WALL, ("open", "cylinder"), ("disconnect-gas", "gas"), ("connect-gas", "gas", "cylinder"))
    assert says(moved, "fed-by", "gas", "cylinder") is Tri.YES
    assert says(moved, "fed-by", "gas", "wall") is Tri.NO
    assert says(moved, "piped", "gas") is Tri.NO
    assert says(moved, "gas-flowing", "gas") is Tri.YES
    assert tried(moved, "connect-gas", "gas", "cylinder").already == "sweep gas is on oxygen cylinder already"


def test_carbon_dioxide_is_known_even_behind_a_shut_valve() -> None:
    grey = so(("gas", "connected:grey"))
    assert says(grey, "carries-co2", "gas") is Tri.YES
    assert says(ON_WALL, "carries-co2", "gas") is Tri.NO
    assert says(done(grey, ("open", "grey")), "gives-oxygen", "grey") is Tri.NO
    assert says(ON_WALL, "gives-oxygen", "wall") is Tri.YES
    assert says(START, "gives-oxygen", "wall") is Tri.NO


def test_twice_the_journey() -> None:
    """4 L/min for 60 min, twice, is 480 L; the battery needs 120 min."""
    assert says(START, "lasts", "cylinder", "trolley") is Tri.YES
    assert says(START, "lasts", "small", "trolley") is Tri.NO
    assert says(START, "lasts", "wall", "trolley") is Tri.NO, "no figure, no promise"
    assert says(START, "battery-lasts", "console", "trolley") is Tri.YES


def test_a_cap_on_the_gas_outlet() -> None:
    capped = done(START, ("cap", "outlet"))
    assert (says(START, "shut", "outlet"), says(capped, "shut", "outlet")) == (Tri.NO, Tri.YES)
    assert says(done(capped, ("uncap", "outlet")), "open", "outlet") is Tri.YES
    assert tried(capped, "cap", "outlet").already == "gas outlet is capped already"


@pytest.mark.parametrize(("time", "proven"), [("", Tri.NO), ("9 min", Tri.NO), ("10 min", Tri.YES)])
def test_only_a_long_enough_run_proves_the_battery(time: str, proven: Tri) -> None:
    assert says(done(START, ("unplug", "console"), time=time), "battery-proven", "console") is proven


def test_waiting_on_battery_proves_it_too_and_waiting_on_mains_does_not() -> None:
    unplugged = done(START, ("unplug", "console"))
    assert says(done(unplugged, ("wait",), time="10 min"), "battery-proven", "console") is Tri.YES
    assert says(done(START, ("wait",), time="10 min"), "battery-proven", "console") is Tri.NO


def test_plugged_in_is_not_powered() -> None:
    back = done(START, ("unplug", "console"), ("see-charge", "console"))
    assert says(back, "mains-proven", "console") is Tri.NO
    back = done(back, ("plug-in", "console"))
    assert says(back, "on-mains", "console") is Tri.YES
    assert says(back, "mains-proven", "console") is Tri.NO
    seen = done(back, ("see-charge", "console"))
    assert says(seen, "mains-proven", "console") is Tri.YES
    assert says(done(seen, ("unplug", "console"), ("plug-in", "console")), "mains-proven", "console") is Tri.NO


def test_nothing_may_hold_the_frame_to_the_wall() -> None:
    assert tried(ON_WALL, "depart", "trolley").refused == "sweep gas is still on wall oxygen"
    free = done(ON_WALL, ("disconnect-gas", "gas"), ("connect-gas", "gas", "cylinder"))
    assert tried(free, "depart", "trolley").refused == "console is still plugged in"
    assert tried(free, "arrive", "trolley").refused == "trolley has not set off"
    moving = done(free, ("unplug", "console"), ("depart", "trolley"))
    assert says(moving, "moving", "trolley") is Tri.YES
    assert tried(moving, "plug-in", "console").refused == "no wall socket is in reach while trolley is moving"
    loose = done(moving, ("disconnect-gas", "gas"))
    assert tried(loose, "connect-gas", "gas", "wall").refused == "wall oxygen is out of reach while trolley is moving"
    there = done(moving, ("arrive", "trolley"))
    assert [says(there, name, "trolley") for name in ("parked", "moving", "arrived")] == [Tri.NO, Tri.NO, Tri.YES]


def test_a_pack_is_opened_by_two_people() -> None:
    assert tried(START, "take-inner", "pack").refused == "the outer wrap of pack of lines is not open"
    opened = done(START, ("open-outer", "pack"))
    assert (says(opened, "outer-off", "pack"), says(opened, "on-field", "pack")) == (Tri.YES, Tri.NO)
    assert says(done(opened, ("take-inner", "pack")), "on-field", "pack") is Tri.YES


def test_an_end_in_a_pack_is_out_of_reach_until_it_lies_on_the_field() -> None:
    refused = tried(START, "join", "prime-spike", "bag-port").refused
    assert refused == "prime spike lies in pack of lines, which is not on the field"
    there = done(START, ("open-outer", "pack"), ("take-inner", "pack"))
    assert tried(there, "join", "prime-spike", "bag-port").state is not None


def test_a_silenced_response_is_not_live_until_it_is_heard_again() -> None:
    silent = done(START, ("silence", "bubble-stop"))
    assert [says(silent, name, "bubble-stop") for name in ("live", "silenced", "suspended")] == [Tri.NO, Tri.YES, Tri.NO]
    assert says(done(silent, ("restore", "bubble-stop")), "silenced", "bubble-stop") is Tri.NO
    assert not tried(silent, "restore", "bubble-stop").already
    assert tried(START, "restore", "bubble-stop").already


def test_a_silenced_response_still_stops_the_pump() -> None:
    ready = so(("pump-head", "seated"), ("bubble-sensor", "fitted"), ("bubble-stop", "silenced"))
    action = Action(verb="run", parts=("pump",), options=(("at", quantity("2000 rpm")),))
    assert "sees air" in do(LAYOUT, ready, (action,)).refused


def test_the_cause_of_a_response_is_the_air_at_its_sensor() -> None:
    assert says(START, "cause", "bubble-stop") is Tri.YES
    assert says(so(("return-limb", "clear")), "cause", "bubble-stop") is Tri.NO
    may = list(START)
    may[LAYOUT.variable("return-limb", "contents")] = CLEAR | WET
    assert says(tuple(may), "cause", "bubble-stop") is Tri.MAYBE


def test_a_pump_that_runs_without_flow_is_a_cause_too() -> None:
    filled = [("prime-bag", "lying"), ("pump-head", "seated"), ("prime-clamp", "shut"), ("recirc-clamp", "shut")]
    filled += [(name, "clear") for name in ("drain-limb", "pump-line", "pump-head", "post-line", "oxygenator")]
    filled += [(name, "clear") for name in ("return-line", "return-limb")]
    going = so(*filled, ("pump", "running"))
    assert says(so(*filled), "cause", "flow-stop") is Tri.NO, "a pump that was stopped on purpose"
    assert says(going, "cause", "flow-stop") is Tri.NO, "round and round"
    assert says(so(("return-clamp", "shut"), base=going), "cause", "flow-stop") is Tri.YES


def held(state: State, space: str) -> int:
    return View(LAYOUT, state).contents(space)


def test_a_flush_reaches_dry_spaces_only_with_a_way_out() -> None:
    blocked = done(START, ("flush-on", "flush"), time="5 min")
    assert says(blocked, "flushing", "flush") is Tri.YES
    assert says(blocked, "vented-out", "flush") is Tri.NO
    assert held(blocked, "post-line") == AIR
    vented = done(START, ("open", "oxy-vent"), ("flush-on", "flush"))
    assert says(vented, "vented-out", "flush") is Tri.YES
    assert held(vented, "post-line") == AIR | CO2
    through = done(START, ("open", "oxy-vent"))
    through = done(through, ("flush-on", "flush"), time="5 min")
    assert (held(through, "post-line"), held(through, "oxygenator")) == (CO2, CO2)
    assert held(through, "prime-line") == AIR | CO2, "not on the way out, so only perhaps"
    assert says(through, "dry", "oxygenator") is Tri.YES


def test_a_flush_into_liquid_makes_bubbles() -> None:
    """The set is full, free of air and held full by its bag: nothing but the flush can bring gas into it."""
    flush = "parts: {flush: {kind: co2-flush, label: flush line, site: outlet-line, flush-time: 5 min}}"
    full = case_set("under-bag", flush).put(vent="open")
    for space in ("outlet-line", "oxygenator", "head"):
        assert full.says("air-free", space) is Tri.YES
        assert full.act("flush-on", "flush").says("air-free", space) is Tri.MAYBE, space
        assert full.act("shut", "vent").act("flush-on", "flush").says("air-free", space) is Tri.YES, "no way out, no flow"


def test_the_state_for_a_drawing_names_the_source() -> None:
    def words(state: State) -> tuple[str, ...]:
        return next(one.words for one in circuit_state(LAYOUT, state).parts if one.part == "gas")

    assert words(ON_WALL) == ("gas-on", "on wall oxygen")
    assert words(START) == ("gas-off", "disconnected")
