"""Caps, gentle and abrupt stops, drives and heads, dry joints, bags that run empty, and a limb that is open to the air."""

from __future__ import annotations

import pytest

from stepwell.circuit.hydraulics import ABOVE
from stepwell.model.tri import Tri
from tests.circuit.small import Bench, action, case_set

HAND = """
parts:
  crank: {kind: drive, label: hand crank, trait: hand, head: head, lift-speed: 1200 rpm}
"""
ARTERY = "parts: {return-vein: {kind: artery, label: femoral artery}}"
HAND_ARTERY = HAND + "  return-vein: {kind: artery, label: femoral artery}\n"
VOLUMES = """
parts:
  drain-limb: {bore: 9 mm, length: 1 m}
  inlet-line: {bore: 9 mm, length: 0.5 m}
  head: {volume: 30 mL}
  outlet-line: {bore: 9 mm, length: 0.5 m}
  return-limb: {bore: 9 mm, length: 1 m}
  bag: {volume: %s, waste: %s}
"""


def open_limb(height: str = "90 cm", speed: str = "running", **parts: str) -> Bench:
    """A supported set whose return limb has come apart, both ends open, the limb lying at this height."""
    made = case_set("supported", f"parts: {{return-limb: {{height: {height}}}}}")
    return made.put(return_end="bare", return_cannula="bare", pump=speed, **parts)


# The limb that is open to the air


def test_a_pump_that_drives_out_of_an_open_limb_keeps_it_full() -> None:
    apart = open_limb("95 cm")
    assert apart.sign("oxygenator") == apart.sign("return-limb") == ABOVE
    assert apart.says("air-entered") is Tri.NO
    for space in ("drain-limb", "head", "oxygenator", "return-limb"):
        assert apart.says("air-free", space) is Tri.YES, space
    assert apart.says("spilled", "return-limb") is Tri.YES


@pytest.mark.parametrize(
    ("what", "apart"),
    [
        ("places above the opening may suck", open_limb("60 cm")),
        ("a pump that turns too slowly may not drive at all", open_limb("95 cm", "idle")),
        ("a pump with air before it may lose its prime", open_limb("95 cm", drain_limb="wet")),
        ("an opening far above the supply may be too high", open_limb("170 cm")),
    ],
)
def test_an_open_limb_is_above_the_air_only_where_that_is_sure(what: str, apart: Bench) -> None:
    assert apart.sign("oxygenator") != ABOVE, what


def test_a_drive_without_a_lift_speed_is_not_known_to_hold_against_anything() -> None:
    silent = case_set("supported", ARTERY + "\n")
    assert silent.says("lifts", "pump") is Tri.YES
    assert silent.act("stop", "pump").says("lifts", "pump") is Tri.NO


def test_air_before_the_running_pump_goes_on_with_the_flow_and_not_back() -> None:
    low = """
parts:
  low-tap: {kind: tap, label: inlet tap, height: 85 cm}
  low-cap: {kind: cap, label: cap of the inlet tap}
chains: [[inlet-line, low-tap, low-cap, air]]
baselines: {supported: {low-tap: blood}}
"""
    opened = case_set("supported", low).act("uncap", "low-cap").act("turn", "low-tap", to="all")
    assert opened.says("air-entered") is Tri.YES
    assert opened.says("air-free", "oxygenator") is not Tri.YES
    assert opened.says("air-free", "return-limb") is not Tri.YES
    assert opened.says("air-free", "drain-limb") is Tri.YES
    still = case_set("supported", low).act("stop", "pump").act("uncap", "low-cap").act("turn", "low-tap", to="all")
    assert still.says("air-free", "drain-limb") is Tri.YES, "below the vein's level nothing is drawn in"


# Caps


def test_a_vented_cap_lets_gas_pass_until_it_is_changed_for_a_sealed_one() -> None:
    vented = case_set("primed", "parts: {tap-cap: {trait: vented}}")
    assert vented.says("vented", "tap-cap") is Tri.YES
    assert vented.says("shut", "tap-cap") is Tri.YES
    swapped = vented.act("swap-cap", "tap-cap")
    assert swapped.says("vented", "tap-cap") is Tri.NO
    assert swapped.says("shut", "tap-cap") is Tri.YES
    assert case_set("primed").says("vented", "tap-cap") is Tri.NO
    assert case_set("primed").put(tap_cap="vented").says("vented", "tap-cap") is Tri.YES
    assert "already" in swapped.try_to("swap-cap", "tap-cap").already


LOW_TAP = """
parts:
  low-tap: {kind: tap, label: inlet tap, height: 85 cm}
  low-cap: {kind: cap, label: cap of the inlet tap%s}
chains: [[inlet-line, low-tap, low-cap, air]]
baselines: {supported: {low-tap: blood}}
"""


def test_a_vented_cap_before_the_pump_draws_air_and_a_sealed_one_does_not() -> None:
    for trait, entered in (("", Tri.NO), (", trait: vented", Tri.YES)):
        turned = case_set("supported", LOW_TAP % trait).act("turn", "low-tap", to="all")
        assert turned.says("air-entered") is entered


def test_changing_a_cap_opens_the_port_for_that_moment() -> None:
    turned = case_set("supported", LOW_TAP % "").act("turn", "low-tap", to="all")
    assert turned.act("swap-cap", "low-cap").says("air-entered") is Tri.YES
    assert turned.act("turn", "low-tap", to="off").act("swap-cap", "low-cap").says("air-entered") is not Tri.YES


def test_a_vented_cap_that_is_off_is_an_open_port() -> None:
    turned = case_set("under-bag", "parts: {tap-cap: {trait: vented}}").act("turn", "tap", to="all")
    assert turned.says("spilled", "tap") is Tri.NO
    assert turned.act("uncap", "tap-cap").says("spilled", "tap") is Tri.YES


# Stopping and clamping


@pytest.mark.parametrize(
    ("speed", "abrupt", "expected"),
    [
        ("3000 rpm", True, Tri.YES),
        ("3000 rpm", False, Tri.NO),
        ("400 rpm", True, Tri.NO),
    ],
)
def test_an_abrupt_stop_at_speed_hammers_a_wet_oxygenator(speed: str, abrupt: bool, expected: Tri) -> None:
    turning = case_set("primed").act("run", "pump", at=speed)
    assert turning.act("stop", "pump", abrupt=abrupt).says("hammered") is expected


def test_slowing_abruptly_may_hammer_and_raising_the_speed_does_not() -> None:
    turning = case_set("primed").act("run", "pump", at="3000 rpm")
    assert turning.act("run", "pump", at="1500 rpm", abrupt=True).says("hammered") is Tri.MAYBE
    assert turning.act("run", "pump", at="1500 rpm").says("hammered") is Tri.NO
    assert turning.act("run", "pump", at="4000 rpm", abrupt=True).says("hammered") is Tri.NO


def test_a_clamp_on_the_moving_path_hammers_and_one_beside_it_does_not() -> None:
    turning = case_set("supported")
    assert turning.act("shut", "return-clamp").says("hammered") is Tri.YES
    assert turning.act("shut", "drain-clamp").says("hammered") is Tri.YES
    assert turning.act("open", "prime-clamp").act("shut", "prime-clamp").says("hammered") is Tri.NO
    shut = turning.act("shut", "return-clamp")
    assert shut.act("shut", "drain-clamp").says("hammered") is Tri.NO, "nothing moves any more"
    assert turning.act("run", "pump", at="500 rpm").act("shut", "return-clamp").says("hammered") is Tri.NO


def test_the_soft_speed_is_the_rigs_and_else_the_idle_speed() -> None:
    assert case_set("primed").act("run", "pump", at="900 rpm").says("turning-fast", "pump") is Tri.YES
    stated = case_set("primed", "parts: {pump: {soft-speed: 1000 rpm}}")
    assert stated.act("run", "pump", at="900 rpm").says("turning-fast", "pump") is Tri.NO
    assert stated.act("run", "pump", at="1100 rpm").says("turning-fast", "pump") is Tri.YES


# Drives and the head


def test_the_head_turns_with_the_drive_it_sits_on() -> None:
    start = case_set("supported", HAND)
    assert start.says("head-on", "head", "pump") is Tri.YES
    assert start.says("head-on", "head", "crank") is Tri.NO
    assert "not on hand crank" in start.try_to("run", "crank", at="2000 rpm").refused
    moved = start.act("move-head", "head", "crank")
    assert moved.says("head-on", "head", "crank") is Tri.YES
    assert moved.says("running", "pump") is Tri.YES, "the old drive goes on, without the head"
    assert moved.says("driven", "head") is Tri.NO
    assert moved.says("flow", "forward") is not Tri.YES
    assert "not on pump" in moved.try_to("run", "pump", at="2000 rpm").refused
    cranked = moved.act("run", "crank", at="2000 rpm")
    assert cranked.says("driven", "head") is Tri.YES
    assert cranked.says("flow", "forward") is Tri.YES
    assert cranked.act("stop", "pump").says("flow", "forward") is Tri.YES


def test_moving_the_head_with_an_artery_open_turns_the_flow_and_with_a_clamp_does_not() -> None:
    start = case_set("supported", HAND_ARTERY)
    assert start.act("move-head", "head", "crank").says("reversed") is Tri.YES
    assert start.act("shut", "return-clamp").act("move-head", "head", "crank").says("reversed") is Tri.NO


def test_moving_the_head_off_a_fast_drive_is_an_abrupt_stop() -> None:
    start = case_set("supported", HAND)
    assert start.act("move-head", "head", "crank").says("hammered") is Tri.YES
    assert start.act("shut", "return-clamp").act("move-head", "head", "crank").says("hammered") is Tri.NO


def test_no_response_stops_a_hand() -> None:
    airy = case_set("supported", HAND).act("stop", "pump").put(return_limb="wet")
    assert "stop on bubbles" in airy.try_to("run", "pump", at="2000 rpm").refused
    assert airy.act("move-head", "head", "crank").act("run", "crank", at="2000 rpm").says("running", "crank") is Tri.YES


def test_a_head_is_not_put_on_a_drive_that_turns() -> None:
    moved = case_set("supported", HAND).act("move-head", "head", "crank")
    assert "turning" in moved.try_to("move-head", "head", "pump").refused
    assert "already" in moved.try_to("move-head", "head", "crank").already
    assert moved.act("stop", "pump").act("move-head", "head", "pump").says("head-on", "head", "pump") is Tri.YES


def test_which_clamps_guard_an_artery_and_whether_the_way_to_the_patient_is_open() -> None:
    start = case_set("supported", ARTERY)
    assert start.says("guards-artery", "return-clamp") is Tri.YES
    assert start.says("guards-artery", "drain-clamp") is Tri.NO
    assert case_set("supported").says("guards-artery", "return-clamp") is Tri.NO
    assert start.says("outlet-open-to-patient") is Tri.YES
    assert start.act("shut", "drain-clamp").says("outlet-open-to-patient") is Tri.YES
    shut = start.act("shut", "return-clamp")
    assert shut.says("outlet-open-to-patient") is Tri.NO
    assert shut.says("guards-artery", "return-clamp") is Tri.YES


# Joints


@pytest.mark.parametrize(
    ("wet", "words", "expected"),
    [
        (False, {}, Tri.YES),
        (True, {}, Tri.NO),
        (False, {"drain_limb": "dry", "return_limb": "dry"}, Tri.NO),
        (False, {"drain_limb": "dry"}, Tri.YES),
    ],
)
def test_joined_dry_is_so_where_one_side_holds_liquid(wet: bool, words: dict[str, str], expected: Tri) -> None:
    shut = case_set("primed").act("shut", "drain-clamp").act("shut", "return-clamp")
    apart = shut.act("part", "drain-end", "return-end", covered=True).put(**words)
    joined = apart.act("join", "drain-end", "return-end", wet=wet)
    assert joined.says("joined-dry", "drain-end") is joined.says("joined-dry", "return-end") is expected
    assert joined.act("wait", for_="5 s").says("joined-dry", "drain-end") is Tri.NO, "it is of the moment"


# Bags


def filling(volume: str, waste: str = "200 mL") -> Bench:
    return case_set("dry", VOLUMES % (volume, waste)).put(vent="open")


def test_a_bag_that_is_shut_off_does_not_run_empty() -> None:
    assert filling("400 mL").says("may-run-empty", "bag") is Tri.NO
    assert case_set("primed").says("may-run-empty", "bag") is Tri.NO


def test_a_bag_runs_empty_where_the_set_holds_more_than_it_gives() -> None:
    small = filling("400 mL").act("open", "prime-clamp")
    assert small.says("may-run-empty", "bag") is Tri.MAYBE
    assert small.act("wait", for_="5 min").says("may-run-empty", "bag") is Tri.YES
    assert filling("1000 mL").act("open", "prime-clamp").says("may-run-empty", "bag") is Tri.NO
    assert filling("1000 mL", "700 mL").act("open", "prime-clamp").says("may-run-empty", "bag") is Tri.MAYBE
    assert small.act("shut", "prime-clamp").says("may-run-empty", "bag") is Tri.NO


def test_a_volume_that_the_rig_does_not_state_leaves_it_open() -> None:
    """All that is stated is less than half of what the bag gives, but nobody knows what the outlet line takes."""
    silent = "parts: {outlet-line: {bore: null, length: null}}"
    assert case_set("dry").put(vent="open").act("open", "prime-clamp").says("may-run-empty", "bag") is Tri.NO
    opened = case_set("dry", silent).put(vent="open").act("open", "prime-clamp")
    assert opened.says("may-run-empty", "bag") is Tri.MAYBE
    dry = case_set("dry", silent).put(vent="open").act("open", "prime-clamp").act("shut", "prime-clamp")
    assert dry.says("may-run-empty", "bag") is Tri.NO, "shut off from the set it gives nothing"


def test_a_wide_opening_or_a_vessel_empties_a_bag_without_end_and_that_is_remembered() -> None:
    opened = filling("1000 mL").act("open", "prime-clamp")
    apart = opened.act("part", "drain-end", "return-end")
    assert apart.says("may-run-empty", "bag") is Tri.MAYBE
    joined = apart.act("join", "drain-end", "return-end")
    assert joined.says("may-run-empty", "bag") is Tri.MAYBE, "what ran out was never counted"
    vessel = opened.act("shut", "drain-clamp").act("part", "drain-end", "return-end", covered=True)
    vessel = vessel.act("join", "return-end", "return-cannula", wet=True)
    assert vessel.says("may-run-empty", "bag") is Tri.MAYBE


def test_a_bleed_is_what_the_waste_is_for() -> None:
    bled = filling("1000 mL").act("open", "prime-clamp").act("uncap", "tap-cap").act("turn", "tap", to="all")
    assert bled.says("may-run-empty", "bag") is Tri.NO
    silent = case_set("under-bag", "parts: {bag: {waste: null}}").act("uncap", "tap-cap").act("turn", "tap", to="all")
    assert silent.says("may-run-empty", "bag") is Tri.MAYBE


# The pump that stands


def test_between_two_veins_zero_is_not_certain_until_a_clamp_is_shut() -> None:
    still = case_set("supported").act("stop", "pump")
    assert still.says("flow", "none") is Tri.MAYBE
    assert still.act("shut", "return-clamp").says("flow", "none") is Tri.YES
    assert still.act("shut", "drain-clamp").says("flow", "none") is Tri.YES


def test_an_artery_pushes_back_to_a_vein_and_to_an_opening_but_not_against_a_clamp() -> None:
    still = case_set("supported", ARTERY).act("stop", "pump")
    assert still.says("flow", "reverse") is Tri.YES
    assert still.act("shut", "drain-clamp").says("flow", "none") is Tri.YES
    apart = still.act("shut", "drain-clamp").put(drain_end="bare", drain_cannula="covered").act("open", "drain-clamp")
    assert apart.says("flow", "reverse") is Tri.YES


def test_a_bag_on_both_sides_of_a_pump_that_stands_moves_nothing() -> None:
    level = filling("1000 mL").act("open", "prime-clamp").act("open", "back-clamp").act("wait", for_="5 min")
    assert level.says("flow", "none") is Tri.YES


# Several actions at once


def test_actions_done_at_once_last_as_long_as_the_longest_of_them() -> None:
    """It takes a minute to fill the set."""
    start = case_set("dry", "parts: {bag: {fill-time: 1 min}}").put(vent="open").act("open", "prime-clamp")
    brief, half, long = (action("wait", for_=time) for time in ("5 s", "30 s", "1 min"))
    assert start.at_once(long, brief).says("filled", "oxygenator") is Tri.YES
    assert start.at_once(brief, long).says("filled", "oxygenator") is Tri.YES
    assert start.at_once(half, half).says("filled", "oxygenator") is Tri.MAYBE, "they pass beside each other"
    assert start.at_once(brief, action("open", "back-clamp")).says("filled", "oxygenator") is Tri.MAYBE
