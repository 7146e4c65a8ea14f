"""What follows from an action: filling, pressure, air entry, and that the order of evaluation does not matter."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from stepwell.circuit.apply import do
from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.contents import CLEAR, WET, within
from stepwell.circuit.fact_table import fact
from stepwell.circuit.layout import Layout, State
from stepwell.circuit.settings import apply_settings, baseline_state
from stepwell.circuit.settle import settle
from stepwell.circuit.view import View
from stepwell.model.procedure import Action, steps_of
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Setting
from stepwell.model.tri import Tri
from stepwell.quantities.units import parse_quantity
from tests.demo import baseline, procedure, rig

LAYOUT = compile_rig(rig())
START = baseline_state(LAYOUT, baseline("unpacked"))
PAGES = [step for name in ("dry-assembly", "prime-adult") for step in steps_of(procedure(name).body)]


def quantity(text: str) -> Quantity:
    found = parse_quantity(text)
    assert found is not None
    return found


def act(state: State, verb: str, *parts: str, layout: Layout = LAYOUT, **options: str | bool) -> State:
    made = tuple(
        (name, quantity(value) if isinstance(value, str) and value[0].isdigit() else value)
        for name, value in options.items()
    )
    done = do(layout, state, (Action(verb=verb, parts=parts, options=made),))
    assert done.state is not None, done.refused
    return done.state


def page_states() -> list[State]:
    """The demo, assembled and then primed, each in the order of its page: the state after every action."""
    state = baseline_state(LAYOUT, baseline("in-parts"))
    states = [state]
    for step in PAGES:
        for action in step.do:
            after = do(LAYOUT, state, (action,)).state
            assert after is not None
            states.append(after)
            state = after
    return states


def says(state: State, name: str, *args: str) -> Tri:
    entry = fact(name)
    assert entry is not None
    return entry.evaluate(View(LAYOUT, state), args)


def ready_to_fill() -> State:
    return apply_settings(
        LAYOUT,
        START,
        [
            Setting(part="prime-bag", word="hung"),
            Setting(part="pump-head", word="seated"),
            Setting(part="oxy-vent", word="open"),
            Setting(part="prime-clamp", word="shut"),
            Setting(part="prime-spike", word="joined:bag-port"),
            Setting(part="bag-port", word="joined:prime-spike"),
            Setting(part="recirc-spike", word="joined:bag-return-port"),
            Setting(part="bag-return-port", word="joined:recirc-spike"),
        ],
    )


def test_opening_and_at_once_shutting_leaves_may_be() -> None:
    state = act(act(ready_to_fill(), "open", "prime-clamp"), "shut", "prime-clamp")
    assert says(state, "dry", "oxygenator") is Tri.MAYBE
    assert says(state, "filled", "oxygenator") is Tri.MAYBE
    state = act(state, "wait", **{"for": "10 min"})
    assert says(state, "filled", "oxygenator") is Tri.MAYBE, "nothing flows through a shut clamp, however long one waits"


def test_a_stated_wait_completes_the_fill_and_a_short_one_does_not() -> None:
    opened = act(ready_to_fill(), "open", "prime-clamp")
    assert says(act(opened, "wait", **{"for": "5 s"}), "filled", "oxygenator") is Tri.MAYBE
    assert says(act(opened, "wait", **{"for": "2 min"}), "filled", "oxygenator") is Tri.YES


def test_a_bag_that_lies_fills_nothing() -> None:
    low = apply_settings(LAYOUT, ready_to_fill(), [Setting(part="prime-bag", word="lying")])
    assert says(act(low, "open", "prime-clamp"), "dry", "oxygenator") is Tri.YES


def test_dead_end_branches_do_not_fill_until_they_are_opened() -> None:
    filled = act(act(ready_to_fill(), "open", "prime-clamp"), "wait", **{"for": "2 min"})
    assert says(filled, "dry", "pre-tap") is Tri.YES
    opened = act(act(filled, "uncap", "pre-cap"), "turn", "pre-tap", to="all")
    assert says(opened, "dry", "pre-tap") is Tri.MAYBE


def test_a_branch_bled_before_circulating_still_holds_air() -> None:
    filled = act(act(ready_to_fill(), "open", "prime-clamp"), "wait", **{"for": "2 min"})
    bled = act(act(filled, "uncap", "pre-cap"), "turn", "pre-tap", to="all", **{"for": "30 s"})
    assert says(bled, "filled", "pre-tap") is Tri.YES
    assert says(bled, "air-free", "pre-tap") is not Tri.YES


@pytest.mark.parametrize(
    ("runs", "clear"),
    [
        ([("3000 rpm", "3 min")], False),
        ([("3000 rpm", "3 min"), ("stop", "10 s"), ("3000 rpm", "3 min")], True),
        ([("3000 rpm", "3 min"), ("stop", "2 s"), ("3000 rpm", "3 min")], False),
        ([("3000 rpm", "3 min"), ("stop", "10 s"), ("3000 rpm", "20 s")], False),
        ([("3000 rpm", "3 min"), ("stop", "10 s"), ("900 rpm", "3 min")], False),
        ([("3000 rpm", "3 min"), ("3000 rpm", "3 min")], False),
    ],
)
def test_the_bundle_clears_only_after_its_runs(runs: list[tuple[str, str]], clear: bool) -> None:
    state = act(act(ready_to_fill(), "open", "prime-clamp"), "wait", **{"for": "2 min"})
    state = apply_settings(LAYOUT, state, [Setting(part="bubble-stop", word="suspended")])
    for speed, time in runs:
        state = (
            act(state, "stop", "pump", **{"for": time})
            if speed == "stop"
            else act(state, "run", "pump", at=speed, **{"for": time})
        )
    assert (says(state, "air-free", "oxygenator") is Tri.YES) is clear


def test_air_enters_an_opening_before_the_running_pump_and_goes_on_with_the_flow() -> None:
    end = page_states()[-1]
    done = do(LAYOUT, act(end, "uncap", "drain-cap"), (Action(verb="turn", parts=("drain-tap",), options=(("to", "all"),)),))
    assert done.state is not None
    assert any(event.kind == "air-entered" and event.part == "drain-tap" for event in done.events)
    shut = act(done.state, "turn", "drain-tap", to="off")
    assert says(shut, "air-free", "oxygenator") is not Tri.YES, "shutting the tap again must not hide the air"


def test_a_shut_limb_with_the_pump_running_is_dead_headed() -> None:
    end = page_states()[-1]
    assert says(end, "flow", "recirculating") is Tri.YES
    shut = act(end, "shut", "return-clamp")
    assert says(shut, "flow", "recirculating") is Tri.NO
    assert says(shut, "flow", "dead-headed") is Tri.YES


def test_a_live_response_that_sees_air_keeps_the_pump_from_running() -> None:
    state = act(act(ready_to_fill(), "open", "prime-clamp"), "wait", **{"for": "2 min"})
    state = apply_settings(LAYOUT, state, [Setting(part="bubble-sensor", word="fitted")])
    done = do(LAYOUT, state, (Action(verb="run", parts=("pump",), options=(("at", quantity("1500 rpm")),)),))
    assert done.state is None
    assert "stop on bubbles" in done.refused


def test_settling_a_settled_state_changes_nothing() -> None:
    for state in page_states():
        assert settle(LAYOUT, state).state == settle(LAYOUT, settle(LAYOUT, state).state).state


def test_settle_does_not_depend_on_the_order_of_gates() -> None:
    """Confluence: the same rig with its gates in another order settles to the same states and events."""
    shuffle = random.Random(7)
    for _ in range(6):
        gates = list(LAYOUT.gates)
        shuffle.shuffle(gates)
        other = replace(LAYOUT, gates=tuple(gates))
        state = page_states()[0]
        for step in PAGES:
            for action in step.do:
                one, two = do(LAYOUT, state, (action,)), do(other, state, (action,))
                assert one == two
                assert one.state is not None
                state = one.state


def test_dry_and_filled_are_never_both_sure() -> None:
    for state in page_states():
        for space in ("oxygenator", "pump-head", "return-limb", "pre-tap"):
            dry, filled = says(state, "dry", space), says(state, "filled", space)
            assert int(dry) + int(filled) == 2


def test_contents_masks() -> None:
    assert within(WET | CLEAR, CLEAR) is Tri.MAYBE
    assert within(CLEAR, CLEAR) is Tri.YES
    assert within(WET, CLEAR) is Tri.NO


@pytest.mark.parametrize("wet", [False, True])
def test_a_cover_comes_off_as_the_ends_are_joined(wet: bool) -> None:
    """Uncovering is implied by joining; that the end was covered until then can still be asked before, and bare after."""
    before = apply_settings(
        LAYOUT, START, [Setting(part="prime-spike", word="covered"), Setting(part="bag-port", word="covered")]
    )
    assert says(before, "bare", "prime-spike") is Tri.NO
    assert says(before, "joined", "prime-spike") is Tri.NO
    after = act(before, "join", "prime-spike", "bag-port", wet=wet)
    assert says(after, "joined", "prime-spike") is Tri.YES
    assert says(after, "bare", "bag-port") is Tri.NO
