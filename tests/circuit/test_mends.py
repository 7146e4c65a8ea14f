"""Twenty-four holes that a naive model of a circuit has, each with a test that fails if it is opened again.

The numbers are those of the list that the model was built from. A mend that another layer keeps is pointed at: the named
test must exist.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from stepwell.circuit.hydraulics import ABOVE, AT, BELOW, UNKNOWN
from stepwell.circuit.links import Link, end_points
from stepwell.circuit.paths import union_of_paths
from stepwell.model.tri import Tri
from tests.circuit.small import Bench, case_set, rig

ROOT = Path(__file__).parents[2]

CLEARING = """
parts:
  head: {clear-runs: 1 times, clear-speed: 1400 rpm, clear-time: 60 s}
  oxygenator: {clear-runs: 2 times, clear-speed: 1400 rpm, clear-time: 60 s, clear-stop: 5 s}
"""
ARTERY = "parts: {return-vein: {kind: artery, label: femoral artery}}"
HIGH = "parts: {oxygenator: {height: 140 cm}}"
TUBE = """
rig: tube
title: A bag, a tube and what is at its end
version: "1.0.0"
parts:
  bag: {kind: bag, label: bag, volume: 1000 mL, waste: 100 mL, height: %s, fill-time: 30 s}
  clamp: {kind: clamp, label: clamp}
  tube: {kind: line, label: tube, bore: 6 mm, length: 1 m, height: 100 cm, trait: main}
  valve: {kind: check-valve, label: valve}
  far: {kind: line, label: far tube, bore: 6 mm, length: 1 m, height: 100 cm, trait: main}
  out: {kind: end, label: end, fits: tube, bore: %s}
chains:
  - [bag, clamp, tube, valve, far, out]
baselines:
  dry: {bag: hung, clamp: shut}
  full: {bag: hung, clamp: shut, tube: clear, far: clear}
"""


def primed(changes: str = "{}", **words: str) -> Bench:
    return case_set("primed", changes).put(**words)


ONE_RUN = CLEARING.replace("2 times", "1 times")


def filled(changes: str = CLEARING) -> Bench:
    """Filled by gravity through the vent: liquid with air everywhere on the main path."""
    return case_set("dry", changes).put(vent="open", back_clamp="open").act("open", "prime-clamp").act("wait", for_="5 min")


def test_mend_1_filling_follows_directed_simple_paths() -> None:
    """A way that only leads back to where it came from, or that ends, is not filled, though it is joined to the path."""
    link = {
        (a, b): Link(b, n, False, True) for n, (a, b) in enumerate([(1, 2), (2, 3), (3, 2), (2, 4), (4, 9), (3, 5), (6, 4)])
    }
    links = tuple(tuple(found for (a, _), found in link.items() if a == here) for here in range(10))
    assert union_of_paths(links, 1, {9}).spaces == {1, 2, 4, 9}
    past = union_of_paths(links, 1, {9}, limit=1)
    assert not past.exact, "past the limit it says that it does not know"
    assert past.spaces >= {1, 2, 4, 9}, "and leaves nothing out"
    layout = case_set("dry").layout
    assert {layout.space_of[name] for name in ("bag", "bag.headspace", "drain-vein")} <= end_points(layout)


def test_mend_2_a_bag_is_fluid_and_headspace() -> None:
    """What passes a check valve into a bag ends in its headspace; a port on its fluid takes air only from a running pump."""
    valve = """
parts:
  valve: {kind: check-valve, label: valve}
chains: [[oxygenator, valve, bag]]
"""
    made = case_set("dry", valve)
    into = [gate for gate in made.layout.gates if gate.one_way]
    assert [made.layout.spaces[gate.b].name for gate in into] == ["bag.headspace"]
    second = "chains: [[oxygenator, second-clamp, bag]]\nparts: {second-clamp: {kind: clamp, label: second clamp}}"
    still = case_set("dry", second).act("open", "prime-clamp").act("wait", for_="5 min")
    assert still.says("filled", "oxygenator") is not Tri.YES, "two ports on the fluid let no air out while it stands"
    running = still.put(head="clear", inlet_line="clear", bubble_stop="suspended")
    running = running.act("shut", "drain-clamp").act("run", "pump", at="2000 rpm").act("wait", for_="5 min")
    assert running.says("filled", "oxygenator") is Tri.YES


@pytest.mark.parametrize(("height", "expected"), [("170 cm", Tri.YES), ("90 cm", Tri.NO)])
def test_mend_3_a_source_has_head_only_above_the_path(height: str, expected: Tri) -> None:
    start = case_set("dry", f"parts: {{bag: {{height: {height}}}, prime-line: {{height: 90 cm}}}}").put(vent="open")
    opened = start.act("open", "prime-clamp").act("wait", for_="5 min")
    assert opened.says("filled", "oxygenator") is expected
    assert start.put(bag="lying").act("open", "prime-clamp").act("wait", for_="5 min").says("dry", "oxygenator") is Tri.YES


@pytest.mark.parametrize(
    ("margin", "height", "line", "expected"),
    [
        ("80 cm", "170 cm", "90 cm", Tri.YES),
        ("81 cm", "170 cm", "90 cm", Tri.NO),
        ("80 cm", "170 cm", "95 cm", Tri.NO),
        ("80 cm", "170 cm", "", Tri.MAYBE),
        ("", "20 cm", "90 cm", Tri.YES),
    ],
)
def test_mend_3_the_margin_of_height_is_the_units_own(margin: str, height: str, line: str, expected: Tri) -> None:
    """The lower edge of the bag against the highest place of the main path; a place of unknown height leaves it open."""
    asked = f", margin: {margin}" if margin else ""
    where = f", height: {line}" if line else ", height: null"
    there = case_set("dry", f"parts: {{bag: {{kind: bag, height: {height}{asked}}}, return-limb: {{kind: line{where}}}}}")
    assert there.says("hangs-high", "bag") is expected


def test_mend_3_a_bag_below_the_set_is_a_drain() -> None:
    held = case_set("under-bag").put(vent="open").act("shut", "prime-clamp").act("take-down", "bag")
    assert held.says("filled", "oxygenator") is Tri.YES
    drained = held.act("open", "prime-clamp")
    assert drained.says("filled", "oxygenator") is Tri.MAYBE, "it may run down into the bag, with air through the vent"
    shut = held.act("shut", "vent").act("open", "prime-clamp")
    assert shut.says("filled", "oxygenator") is Tri.YES, "with no way in for air it holds"


def test_mend_3_so_is_a_bag_that_hangs_below_it() -> None:
    low = "parts: {bag: {height: 70 cm}, prime-line: {height: 65 cm}}"
    held = case_set("under-bag", low).act("shut", "prime-clamp").put(oxygenator="clear", outlet_line="clear", vent="open")
    assert held.says("filled", "oxygenator") is Tri.YES
    assert held.act("open", "prime-clamp").says("filled", "oxygenator") is Tri.MAYBE


def test_mend_3_whether_a_place_of_unknown_height_fills_is_not_known() -> None:
    """It may hang above the bag. Neither it nor what lets its air out only past it surely fills; the rest does."""
    unknown = "parts: {outlet-line: {height: null}}"
    made = case_set("dry", unknown).put(vent="open").act("open", "prime-clamp").act("wait", for_="5 min")
    assert made.says("filled", "outlet-line") is Tri.MAYBE
    assert made.says("filled", "inlet-line") is Tri.YES, "its air leaves the other way round"
    assert made.says("filled", "oxygenator") is Tri.YES
    alone = made.act("shut", "prime-clamp").put(inlet_line="dry", drain_limb="dry", drain_clamp="shut", head="dry")
    alone = alone.act("open", "prime-clamp").act("wait", for_="5 min")
    assert alone.says("filled", "inlet-line") is Tri.MAYBE


def test_mend_4_a_membrane_lets_air_out_and_in_and_never_liquid() -> None:
    under = case_set("under-bag").put(vent="open")
    assert under.says("spilled", "oxygenator") is Tri.NO
    assert under.says("air-free", "oxygenator") is Tri.YES
    sucking = case_set("supported", HIGH).act("stop", "pump").act("open", "vent")
    assert sucking.says("air-entered") is Tri.YES


def test_mend_4_the_fibres_are_a_membrane_that_nobody_can_cover() -> None:
    high = case_set("supported", HIGH).act("stop", "pump")
    assert high.says("air-free", "oxygenator") is Tri.MAYBE
    assert case_set("supported").act("stop", "pump").says("air-free", "oxygenator") is Tri.YES
    clamped = case_set("supported", HIGH).act("shut", "return-clamp").act("shut", "drain-clamp").act("stop", "pump")
    assert clamped.says("air-free", "oxygenator") is Tri.YES


@pytest.mark.parametrize(("runs", "clear"), [(1, False), (2, True)])
def test_mend_5_a_bundle_needs_its_runs_with_a_stop_between(runs: int, clear: bool) -> None:
    state = filled().put(bubble_stop="suspended")
    for _ in range(runs):
        state = state.act("run", "pump", at="3000 rpm", for_="2 min").act("stop", "pump", for_="10 s")
    assert (state.says("air-free", "oxygenator") is Tri.YES) is clear
    assert (state.says("air-free", "head") is Tri.YES) is clear, "until then the flow carries its air round"


def test_mend_5_running_on_is_no_second_run() -> None:
    state = filled().put(bubble_stop="suspended").act("run", "pump", at="3000 rpm", for_="2 min")
    on = state.act("run", "pump", at="3000 rpm", for_="2 min")
    assert on.says("air-free", "oxygenator") is Tri.NO
    brief = state.act("stop", "pump", for_="2 s").act("run", "pump", at="3000 rpm", for_="2 min")
    assert brief.says("air-free", "oxygenator") is Tri.NO, "nor is a stop too short for the bubbles to rise"
    rested = state.act("stop", "pump", for_="10 s").act("run", "pump", at="3000 rpm", for_="2 min")
    assert rested.says("air-free", "oxygenator") is Tri.YES


def test_mend_5_no_air_leaves_a_loop_that_has_no_way_out() -> None:
    state = filled().put(bubble_stop="suspended")
    shut = state.act("shut", "vent").act("shut", "prime-clamp").act("shut", "back-clamp")
    for _ in range(2):
        shut = shut.act("run", "pump", at="3000 rpm", for_="2 min").act("stop", "pump", for_="10 s")
    for space in ("oxygenator", "head", "return-limb"):
        assert shut.says("air-free", space) is Tri.NO, space


def test_mend_6_a_side_branch_takes_the_worst_of_its_neck() -> None:
    bled = filled().act("uncap", "tap-cap").act("turn", "tap", to="all", for_="30 s")
    assert bled.says("filled", "tap") is Tri.YES
    assert bled.says("air-free", "tap") is Tri.NO, "bled before circulation it holds what is in the line"
    clear = case_set("under-bag").put(tap="dry").act("uncap", "tap-cap").act("turn", "tap", to="all", for_="30 s")
    assert clear.says("air-free", "tap") is Tri.YES


@pytest.mark.parametrize(("bore", "expected"), [("9 mm", Tri.MAYBE), ("3 mm", Tri.YES)])
def test_mend_7_parting_empties_wide_bores_and_luers_hold(bore: str, expected: Tri) -> None:
    end = f"parts: {{drain-end: {{bore: {bore}}}, return-end: {{bore: {bore}}}}}"
    shut = primed(end).act("shut", "drain-clamp").act("shut", "return-clamp")
    apart = shut.act("part", "drain-end", "return-end")
    assert apart.says("air-free", "drain-limb") is expected
    assert apart.says("air-free", "inlet-line") is Tri.YES, "the clamp keeps the rest"
    assert apart.says("bare", "drain-end") is apart.says("bare", "return-end") is Tri.YES


def test_mend_8_parting_looks_at_what_pushes_and_at_what_is_kept_on_each_side() -> None:
    start = primed()
    assert start.says("exposes-kept", "drain-end") is Tri.YES
    assert start.says("pushed", "drain-end") is Tri.NO, "nothing pushes, and yet the set would be open"
    shut = start.act("shut", "drain-clamp")
    assert shut.says("exposes-kept", "drain-end") is Tri.NO
    assert shut.says("exposes-kept", "return-end") is Tri.YES, "each side has its own clamp"
    turning = start.act("run", "pump", at="1000 rpm")
    assert turning.says("pushed", "drain-end") is Tri.YES
    assert turning.act("stop", "pump").says("pushed", "drain-end") is Tri.NO


def test_mend_8_a_vessel_pushes_be_it_a_vein_or_an_artery() -> None:
    """Behind a shut clamp, with the pump still, the limb of a patient is not shut off from the patient."""
    for kind in ("vein", "artery"):
        still = case_set("supported", f"parts: {{drain-vein: {{kind: {kind}, label: vessel}}}}").act("stop", "pump")
        clamped = still.act("shut", "drain-clamp").act("shut", "return-clamp")
        assert clamped.says("pushed", "drain-end") is Tri.NO, "on the side of the limb there is nothing that pushes"
        assert clamped.says("pushed", "drain-cannula") is Tri.YES
        assert clamped.says("isolated", "drain-limb") is Tri.NO
        assert clamped.says("isolated", "oxygenator") is Tri.YES


@pytest.mark.parametrize("covered", [False, True])
def test_mend_9_a_wet_join_leaves_no_air_and_a_dry_one_does(covered: bool) -> None:
    """A limb that was covered all the while is free of air until the moment at which it is joined dry."""
    shut = primed().act("shut", "drain-clamp").act("shut", "return-clamp")
    apart = shut.act("part", "drain-end", "return-end", covered=covered)
    assert (apart.says("air-free", "drain-limb") is Tri.YES) is covered
    for wet, expected in ((True, Tri.YES), (False, Tri.NO)):
        joined = apart.act("join", "drain-end", "return-end", wet=wet)
        assert joined.says("air-free", "drain-limb") is joined.says("air-free", "return-limb") is expected


@pytest.mark.parametrize("covered", [False, True])
@pytest.mark.parametrize("held", ["dry", "co2", "wet"])
def test_mend_9_a_wet_join_takes_away_only_the_air_that_came_in_by_its_end(held: str, covered: bool) -> None:
    """Ends that are dripped full do not fill a limb that was never filled, nor rid one of its air that was never cleared."""
    shut = primed().act("shut", "drain-clamp").act("shut", "return-clamp").put(drain_limb=held)
    joined = shut.act("part", "drain-end", "return-end", covered=covered).act("join", "drain-end", "drain-cannula", wet=True)
    assert joined.says("air-free", "drain-limb") is Tri.NO
    assert joined.says("filled", "drain-limb") is not Tri.YES or held == "wet"
    assert joined.says("air-free", "drain-tube") is Tri.YES


def test_mend_9_air_from_elsewhere_is_not_taken_away_at_the_end() -> None:
    """While an end is bare the limb is opened to a set that holds air: that air is not in the end."""
    apart = primed().act("shut", "drain-clamp").act("shut", "return-clamp").act("part", "drain-end", "return-end")
    before = apart.act("join", "drain-end", "drain-cannula", wet=True)
    assert before.says("air-free", "drain-limb") is Tri.YES
    mixed = apart.put(inlet_line="wet").act("open", "drain-clamp").act("shut", "drain-clamp")
    assert mixed.act("join", "drain-end", "drain-cannula", wet=True).says("air-free", "drain-limb") is not Tri.YES
    parted_open = primed().act("part", "drain-end", "return-end").act("shut", "drain-clamp").act("shut", "return-clamp")
    joined = parted_open.act("join", "drain-end", "drain-cannula", wet=True)
    assert joined.says("air-free", "drain-limb") is not Tri.YES


@pytest.mark.parametrize("seed", range(40))
def test_mend_9_what_was_never_free_of_air_is_not_freed_by_joining(seed: int) -> None:
    """Whatever is done in whatever order, a wet join leaves a space free of air only if it was surely so once before."""
    random = Random(seed)
    ends = ("drain-end", "return-end", "drain-cannula", "return-cannula")
    spaces = dict(zip(ends, ("drain-limb", "return-limb", "drain-tube", "return-tube"), strict=True))
    state = primed().put(**{spaces[random.choice(ends)].replace("-", "_"): random.choice(("dry", "co2", "wet"))})
    once = {space for space in spaces.values() if state.says("air-free", space) is Tri.YES}
    state = state.act("part", "drain-end", "return-end", covered=random.random() < 0.5)
    joins = 0
    for _ in range(40):
        verb = random.choice(("part", "join", "join", "cover", "open", "shut"))
        match verb:
            case "part" | "join":
                parts = tuple(random.sample(ends, 2))
            case "cover":
                parts = (random.choice(ends),)
            case _:
                parts = (random.choice(("drain-clamp", "return-clamp", "vent")),)
        options: dict[str, bool] = {"part": {"covered": random.random() < 0.5}, "join": {"wet": True}}.get(verb, {})
        done = state.try_to(verb, *parts, **options)
        if done.state is None:
            continue
        state = Bench(state.layout, done.state)
        free = {space for space in spaces.values() if state.says("air-free", space) is Tri.YES}
        if verb == "join" and not done.already:
            joins += 1
            assert {spaces[end] for end in parts} & free <= once, (seed, parts)
        once |= free
    assert joins


def test_mend_10_joints_are_a_matching_of_ends_with_fit_and_role() -> None:
    apart = primed().act("shut", "drain-clamp").act("shut", "return-clamp").act("part", "drain-end", "return-end")
    assert "does not fit" in apart.try_to("join", "drain-end", "spike").refused
    swapped = apart.act("join", "drain-end", "return-cannula", wet=True)
    assert swapped.says("on-wrong-cannula", "drain-end") is Tri.YES
    assert "is joined to" in swapped.try_to("join", "return-end", "return-cannula").refused
    assert apart.act("join", "drain-end", "drain-cannula", wet=True).says("on-wrong-cannula", "drain-end") is Tri.NO


def test_mend_11_air_that_entered_stays_downstream_when_the_opening_is_shut() -> None:
    low = """
parts: {low-tap: {kind: tap, label: inlet tap, height: 85 cm}, low-cap: {kind: cap, label: cap of the inlet tap}}
chains: [[inlet-line, low-tap, low-cap, air]]
baselines: {supported: {low-tap: blood}}
"""
    opened = case_set("supported", low).act("uncap", "low-cap").act("turn", "low-tap", to="all")
    shut = opened.act("turn", "low-tap", to="off")
    for space in ("inlet-line", "head", "oxygenator", "return-limb"):
        assert shut.says("air-free", space) is not Tri.YES, space


def test_mend_12_starved_is_not_dead_headed() -> None:
    running = case_set("supported")
    starved, headed = running.act("shut", "drain-clamp"), running.act("shut", "return-clamp")
    assert (starved.says("flow", "starved"), starved.says("flow", "dead-headed")) == (Tri.YES, Tri.NO)
    assert (headed.says("flow", "dead-headed"), headed.says("flow", "starved")) == (Tri.YES, Tri.NO)
    assert starved.sign("inlet-line") == BELOW
    assert headed.sign("outlet-line") == ABOVE


def test_mend_13_a_stopped_pump_is_an_open_tube_and_a_slow_one_may_be_pushed_back() -> None:
    assert case_set("supported", ARTERY).act("stop", "pump").says("flow", "reverse") is Tri.YES
    slow = case_set("supported", ARTERY).act("run", "pump", at="900 rpm")
    assert (slow.says("flow", "reverse"), slow.says("flow", "forward")) == (Tri.MAYBE, Tri.MAYBE)
    assert case_set("supported", ARTERY).says("flow", "reverse") is Tri.NO
    assert case_set("supported").act("stop", "pump").says("flow", "none") is Tri.MAYBE, "zero is no proof in two veins"


def test_mend_14_pressure_is_above_at_below_or_unknown() -> None:
    under = case_set("under-bag")
    assert under.sign("oxygenator") == ABOVE
    assert under.act("run", "pump", at="2000 rpm").sign("inlet-line") == UNKNOWN, "a bag feeds it and the pump draws"
    shut = primed().act("shut", "drain-clamp").act("shut", "return-clamp")
    apart = shut.act("part", "drain-end", "return-end", covered=True)
    assert apart.sign("drain-limb") == AT, "a limb shut at both ends"
    assert primed().sign("oxygenator") == UNKNOWN, "a closed loop with no bag"
    assert case_set("supported").sign("inlet-line") == BELOW
    assert case_set("supported").sign("outlet-line") == ABOVE


@pytest.mark.parametrize(
    ("height", "sign", "entered"), [("88 cm", ABOVE, Tri.NO), ("110 cm", UNKNOWN, Tri.MAYBE), ("140 cm", BELOW, Tri.YES)]
)
def test_mend_14_between_the_levels_that_a_vein_may_hold_a_vent_may_suck(height: str, sign: int, entered: Tri) -> None:
    """A vein at 100 cm holds a column of up to 25 cm, and one knows no better."""
    still = case_set("supported", f"parts: {{oxygenator: {{height: {height}}}}}").act("stop", "pump")
    assert still.sign("oxygenator") == sign
    assert still.act("open", "vent").says("air-entered") is entered


def test_mend_14_the_unknown_draws_air_only_where_there_is_an_opening() -> None:
    assert primed().says("air-entered") is Tri.NO
    opened = primed().act("uncap", "tap-cap").act("turn", "tap", to="line")
    assert opened.says("air-entered") is Tri.NO


def test_mend_16_a_sensor_names_one_space_and_its_trait_says_how_it_is_zeroed() -> None:
    wet = case_set("under-bag").put(pressure="unzeroed")
    assert wet.act("zero", "pressure").says("falsely-zeroed", "pressure") is Tri.YES
    dry = case_set("dry").put(pressure="unzeroed")
    assert dry.act("zero", "pressure").says("zeroed", "pressure") is Tri.YES
    turning = case_set("dry").put(pressure="unzeroed", pump="running")
    assert turning.act("zero", "pressure").says("falsely-zeroed", "pressure") is Tri.YES, "the pump stands still meanwhile"
    fluid = "parts: {pressure: {trait: fluid-line}}"
    opened = case_set("under-bag", fluid).put(pressure="unzeroed").act("uncap", "tap-cap").act("turn", "tap", to="air")
    assert opened.act("zero", "pressure").says("zeroed", "pressure") is Tri.YES
    assert case_set("dry", fluid).act("zero", "pressure").says("falsely-zeroed", "pressure") is Tri.YES


def test_mend_20_joining_an_empty_bag_to_a_dry_set_is_normal() -> None:
    dry = case_set("dry").put(bag="dry", vent="open").act("open", "prime-clamp")
    assert dry.says("may-run-empty", "bag") is Tri.NO
    wet = case_set("under-bag").put(bag="dry")
    assert wet.says("may-run-empty", "bag") is Tri.MAYBE


def test_mend_22_already_so_goes_on_and_what_cannot_be_done_stops() -> None:
    again = primed().try_to("shut", "prime-clamp")
    assert again.state is not None
    assert "already" in again.already
    stopped = primed().try_to("part", "spike", "bag-port")
    assert stopped.state is None
    assert "not joined" in stopped.refused


def test_mend_23_a_live_response_with_a_cause_keeps_the_pump_from_running() -> None:
    airy = primed(return_limb="wet")
    assert "is live and stops it" in airy.try_to("run", "pump", at="2000 rpm").refused
    assert airy.act("suspend", "bubble-stop").try_to("run", "pump", at="2000 rpm").state is not None


@pytest.mark.parametrize(
    ("speed", "time", "clear"), [("2000 rpm", "90 s", True), ("2000 rpm", "5 s", False), ("900 rpm", "90 s", False)]
)
def test_mend_24_a_run_too_short_or_too_slow_clears_nothing(speed: str, time: str, clear: bool) -> None:
    ran = filled(ONE_RUN).put(bubble_stop="suspended").act("run", "pump", at=speed, for_=time)
    for space in ("inlet-line", "head", "oxygenator", "return-limb"):
        assert (ran.says("air-free", space) is Tri.YES) is clear, space


def test_mend_24_lines_are_not_cleared_by_a_run_that_clears_nothing_else() -> None:
    """The oxygenator is clear already; the lines hold air, and a short run moves it but does not take it away."""
    airy = filled(ONE_RUN).put(bubble_stop="suspended", oxygenator="clear", head="clear")
    assert airy.act("run", "pump", at="2000 rpm", for_="2 s").says("air-free", "inlet-line") is not Tri.YES


KEPT_ELSEWHERE: dict[int, tuple[str, str]] = {
    17: ("tests/rules/test_shapes.py", "becomes"),
    18: ("tests/rules/cases/dead-headed-too-long.md", "yaml passes"),
    19: ("tests/report/test_connection.py", "test_gas_off_then_stop_passes_and_stop_then_gas_off_depends_on_height"),
    21: ("tests/report/test_emergencies.py", "Joining a limb attaches the patient, which counts as a hand-over"),
}


@pytest.mark.parametrize("mend", KEPT_ELSEWHERE)
def test_a_mend_that_is_kept_elsewhere_is_tested_there(mend: int) -> None:
    path, name = KEPT_ELSEWHERE[mend]
    assert name in (ROOT / path).read_text("utf-8")


def test_every_mend_has_its_test() -> None:
    named = {int(name.split("_")[2]) for name in globals() if name.startswith("test_mend_")}
    assert named | set(KEPT_ELSEWHERE) == set(range(1, 25))


def test_liquid_does_not_go_back_through_a_check_valve() -> None:
    """The bag fills the tube before the valve and what lies behind it; a valve the other way round keeps that dry."""
    onward = rig(TUBE % ("150 cm", "9 mm"), "dry").put(out="bare").act("open", "clamp").act("wait", for_="1 min")
    assert onward.says("filled", "far") is Tri.YES
    turned = (TUBE % ("150 cm", "9 mm")).replace(
        "[bag, clamp, tube, valve, far, out]", "[out, far, valve, tube, clamp, bag]"
    )
    back = rig(turned, "dry").put(out="bare").act("open", "clamp").act("wait", for_="1 min")
    assert back.says("dry", "far") is Tri.YES


def test_mend_15_a_throttled_clamp_keeps_the_way_open_and_makes_flow_and_pressure_unknown() -> None:
    running = case_set("supported")
    narrow = running.act("throttle", "return-clamp")
    assert narrow.says("throttled", "return-clamp") is Tri.YES
    assert narrow.says("open", "return-clamp") is narrow.says("shut", "return-clamp") is Tri.MAYBE
    assert narrow.says("outlet-open-to-patient") is Tri.YES
    assert narrow.says("isolated", "return-limb") is Tri.NO
    assert narrow.says("flow", "forward") is narrow.says("flow", "none") is Tri.MAYBE
    assert narrow.sign("outlet-line") == narrow.sign("return-limb") == UNKNOWN
    assert narrow.act("open", "return-clamp").says("flow", "forward") is Tri.YES
    assert narrow.act("shut", "return-clamp").says("flow", "dead-headed") is Tri.YES


def test_mend_15_nothing_is_surely_filled_or_cleared_through_a_throttled_clamp() -> None:
    start = case_set("dry", ONE_RUN).put(vent="open")
    waited = start.act("throttle", "prime-clamp").act("wait", for_="1 h")
    assert waited.says("filled", "oxygenator") is Tri.MAYBE
    backwards = start.act("throttle", "return-clamp").act("open", "prime-clamp").act("wait", for_="1 h")
    assert backwards.says("filled", "return-limb") is Tri.MAYBE, "nor the other way round, from the limb to the oxygenator"
    narrow = filled(ONE_RUN).put(bubble_stop="suspended").act("throttle", "return-clamp")
    assert narrow.act("run", "pump", at="2000 rpm", for_="10 min").says("air-free", "oxygenator") is not Tri.YES
