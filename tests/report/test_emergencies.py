"""The emergency cards and the connection vein to vein: every change of the table must bring what it predicts.

A row is a card, a change to it, and the names that must be among the findings; no name means that nothing may be found.
The predictions were written down from the physics before the checker was run on them.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Action, Procedure, steps_of
from stepwell.model.rig import Setting
from stepwell.orders.search import Bounds
from stepwell.publish.build import build_sheet
from stepwell.render.cards.render import render_card
from stepwell.report.check import known_starts
from tests.circuit.test_settle import quantity
from tests.demo import before_the_looks, changed, checked, moved_behind, procedure, rig, without_action, workspace
from tests.publish.bench import AS_OF

CARDS = ("pump-stopped", "gas-lost", "line-apart", "connect-vv")
BOXED = ("pump-stopped", "gas-lost", "line-apart", "hand-drive")

Change = Callable[[Procedure], Procedure]


def drop(step: str) -> Change:
    """One step left out."""
    return lambda found: replace(found, body=changed(found.body, lambda old: None if old.id == step else old))


def drop_action(step: str, index: int) -> Change:
    """One single action left out, and nobody looks."""
    return lambda found: without_action(found, step, index)


def move(step: str, behind: str) -> Change:
    """One step done later than it is written."""
    return lambda found: moved_behind(found, step, behind)


def act(step: str, *do: Action) -> Change:
    """Other actions under the same words."""
    return lambda found: replace(found, body=changed(found.body, lambda old: replace(old, do=do) if old.id == step else old))


def start(part: str, word: str) -> Change:
    """One part in another state at the start."""

    def change(found: Procedure) -> Procedure:
        assert found.starts is not None
        settings = (*found.starts.settings, Setting(part=part, word=word))
        return replace(found, starts=replace(found.starts, settings=settings))

    return change


def on_rig(rig: str) -> Change:
    """The same card on another rig."""
    return lambda found: replace(found, rig=rig)


def one(verb: str, *parts: str) -> Action:
    return Action(verb=verb, parts=parts)


def wet(*parts: str) -> Action:
    return Action(verb="join", parts=parts, options=(("wet", True),))


def both(first: Change, second: Change) -> Change:
    return lambda found: second(first(found))


SLOW = Action(verb="run", parts=("pump",), options=(("at", quantity("1200 rpm")),))
SWAPPED = both(act("d4mx", wet("drain-end", "return-cannula-end")), act("e6pz", wet("return-end", "drain-cannula-end")))

# card, what goes wrong, the change, what must be found
TABLE: tuple[tuple[str, str, Change, str], ...] = (
    # The pump stopped: return clamp, gas off, run, open, gas on.
    ("pump-stopped", "return clamp forgotten", drop("a4rc"), "flow-turned-back"),
    ("pump-stopped", "gas off forgotten", drop("b7gz"), "already-so"),
    ("pump-stopped", "restart forgotten", drop("c2nw"), "flow-turned-back"),
    ("pump-stopped", "clamp not opened", drop("f6tb"), "pump-left-dead-headed ends-not-reached"),
    ("pump-stopped", "gas on forgotten", drop("g9ms"), "gas-left-off ends-not-reached"),
    ("pump-stopped", "gas off before the clamp", move("a4rc", "b7gz"), "flow-turned-back"),
    ("pump-stopped", "restart before the clamp", move("a4rc", "c2nw"), "flow-turned-back"),
    ("pump-stopped", "opened before the restart", move("c2nw", "f6tb"), "flow-turned-back"),
    ("pump-stopped", "restart too slow", act("c2nw", SLOW), "flow-turned-back expectation-not-met"),
    ("pump-stopped", "clamp on the limb", act("a4rc", one("shut", "return-clamp")), "already-so ends-not-reached"),
    ("pump-stopped", "clamp on the drain", act("a4rc", one("shut", "drain-cannula-clamp")), "pump-starved"),
    ("pump-stopped", "words and clamp differ", act("a4rc", one("shut", "return-clamp")), "words-and-actions-disagree"),
    ("pump-stopped", "gas on while shut", move("g9ms", "c2nw"), ""),
    ("pump-stopped", "bubble stop off", act("e3yk", one("suspend", "bubble-stop")), "response-left-suspended"),
    ("pump-stopped", "vent uncovered", act("e3yk", one("open", "oxy-vent")), "vent-open-with-patient vent-left-open"),
    ("pump-stopped", "bubble sensor sees air", start("return-limb", "wet"), "action-cannot-be-done"),
    # The gas lost: on again while blood flows.
    ("gas-lost", "gas not turned on", drop("b3pj"), "gas-left-off ends-not-reached"),
    ("gas-lost", "turned off, not on", act("b3pj", one("gas-off", "gas")), "already-so gas-left-off expectation-not-met"),
    ("gas-lost", "pump stands", start("pump", "stopped"), "flow-turned-back ends-not-reached"),
    ("gas-lost", "pump stopped on the way", act("c8xr", one("stop", "pump")), "flow-turned-back ends-not-reached"),
    ("gas-lost", "return shut", act("c8xr", one("shut", "return-cannula-clamp")), "pump-left-dead-headed"),
    ("gas-lost", "drain shut", act("c8xr", one("shut", "drain-cannula-clamp")), "pump-starved"),
    ("gas-lost", "nobody looks at the blood", drop("c8xr"), ""),
    # The limb apart: both sides shut, stop, gas off, join, keep shut.
    ("line-apart", "limb left open", drop("b5qn"), "air-drawn-in ends-not-reached"),
    ("line-apart", "cannula left open", drop("a9fv"), "ends-not-reached expectation-not-met"),
    ("line-apart", "pump left running", drop("c7td"), "pump-left-dead-headed ends-not-reached"),
    ("line-apart", "gas left on", drop("d2lx"), "ends-not-reached"),
    ("line-apart", "drain left open", drop("h3wc"), "ends-not-reached expectation-not-met"),
    ("line-apart", "not joined", drop("f4bs"), "end-left-bare ends-not-reached"),
    ("line-apart", "stopped before the limb is shut", move("b5qn", "c7td"), "air-drawn-in"),
    ("line-apart", "cannula clamp first", move("b5qn", "a9fv"), ""),
    ("line-apart", "joined dry", act("f4bs", one("join", "return-end", "return-cannula-end")), "ends-not-reached"),
    (
        "line-apart",
        "cannula opened, then joined",
        act("f4bs", one("open", "return-cannula-clamp"), wet("return-end", "return-cannula-end")),
        "ends-not-reached expectation-not-met",
    ),
    (
        "line-apart",
        "limb opened, then joined",
        act("f4bs", one("open", "return-clamp"), wet("return-end", "return-cannula-end")),
        "ends-not-reached expectation-not-met",
    ),
    ("line-apart", "wrong cannula", act("f4bs", wet("return-end", "drain-cannula-end")), "action-cannot-be-done"),
    (
        "line-apart",
        "opened and restarted",
        act("j8yp", one("open", "drain-cannula-clamp"), one("open", "return-clamp"), SLOW),
        "ends-not-reached expectation-not-met",
    ),
    # The connection vein to vein.
    ("connect-vv", "limbs not shut", drop("b2hd"), "parted-with-a-side-open"),
    ("connect-vv", "return limb not shut", drop_action("b2hd", 1), "expectation-not-met parted-with-a-side-open"),
    ("connect-vv", "pump not stopped", drop("a7ks"), ""),
    ("connect-vv", "limbs swapped", SWAPPED, "limb-on-wrong-cannula hold-not-met"),
    ("connect-vv", "return joined dry", act("e6pz", one("join", "return-end", "return-cannula-end")), "air-sent-to-patient"),
    ("connect-vv", "drain joined dry", act("d4mx", one("join", "drain-end", "drain-cannula-end")), "air-sent-to-patient"),
    ("connect-vv", "return not joined", drop("e6pz"), "end-left-bare hold-not-met"),
    ("connect-vv", "return not opened", drop("h7lc"), "clamp-left-on-main-path gas-on-before-flow"),
    ("connect-vv", "drain not opened", drop("g3ra"), "pump-starved"),
    ("connect-vv", "one clamp left", drop_action("h7lc", 1), "clamp-left-on-main-path pump-left-dead-headed"),
    ("connect-vv", "gas before the pump runs", move("j5bw", "k4fn"), "gas-on-before-flow"),
    ("connect-vv", "run before the return is open", move("j5bw", "g3ra"), "expectation-not-met"),
    ("connect-vv", "gas forgotten", drop("k4fn"), "ends-not-reached"),
    ("connect-vv", "used at an artery", on_rig("adult-va"), "flow-turned-back"),
)


# Predictions of the table that did not come true, kept as they were written: what was found instead, exactly, and why.
WORDS = "words-and-actions-disagree"
INSTEAD: dict[tuple[str, str], str] = {
    # Nothing about the circuit is found, as predicted. That the box of immediate actions grows to four is a rule of writing.
    ("pump-stopped", "gas on while shut"): "too-many-immediate-actions",
    # A failed expectation blocks the run there, so the end of the card, and what is judged at the end, is not reached.
    # Five predictions overlooked that. The fault is found in each, earlier than predicted.
    ("pump-stopped", "clamp on the limb"): f"already-so expectation-not-met {WORDS}",
    ("gas-lost", "turned off, not on"): f"already-so expectation-not-met {WORDS}",
    ("connect-vv", "return limb not shut"): "expectation-not-met",
    ("connect-vv", "return not opened"): "expectation-not-met",
    ("connect-vv", "one clamp left"): f"expectation-not-met {WORDS}",
    # The same with a hold in the place of the expectation.
    ("connect-vv", "return not joined"): "hold-not-met",
    # The prediction was made for a last step that expected three shut clamps; it was shortened so that the card stays on
    # one side. What it expected is now judged at the end alone. That the pump is stopped before both sides of the breach
    # are clamped became a rule of its own later.
    ("line-apart", "cannula left open"): "ends-not-reached breach-not-clamped-first",
    ("line-apart", "drain left open"): "ends-not-reached",
    # That a clamp is opened while the connector behind it is open became a rule of its own later.
    ("line-apart", "cannula opened, then joined"): f"ends-not-reached opened-behind-bare-end {WORDS}",
    ("line-apart", "limb opened, then joined"): f"ends-not-reached opened-behind-bare-end {WORDS}",
    # Of this row the expectation was taken out with the others above.
    # That the return clamp is opened before the pump turns fast enough became a rule of its own later.
    ("line-apart", "opened and restarted"): f"ends-not-reached pump-left-dead-headed released-too-slow {WORDS}",
    # Joining a limb attaches the patient, which counts as a hand-over, and the pump works against shut limbs by then.
    # The rules on how long it may work so, and on parting a limb while the pump turns, came later and find it too.
    ("connect-vv", "pump not stopped"): "dead-headed-too-long parted-while-running pump-left-dead-headed",
}


@pytest.mark.parametrize("card", [*CARDS, "hand-drive"])
def test_the_card_is_clean(card: str) -> None:
    assert checked(procedure(card)).findings == ()


# What may differ where the card begins, and the number of states from which it is checked.
STARTS = {"air-in-circuit": 32, "gas-lost": 2, "hand-drive": 4, "line-apart": 1, "pump-stopped": 1}


@pytest.mark.parametrize("card", STARTS)
def test_the_card_is_checked_from_every_start_it_lists(card: str) -> None:
    found = procedure(card)
    on = rig(found.rig)
    starts = known_starts(workspace(), found, on, clock=time.monotonic, bounds=Bounds())
    assert len(set(starts)) == STARTS[card]
    assert checked(found).complete


@pytest.mark.parametrize("card", BOXED)
def test_the_boxed_actions_are_three_at_most_and_one_persons(card: str) -> None:
    first = procedure(card).body[0]
    boxed = steps_of((first,))
    assert 0 < sum(max(1, len(step.do)) for step in boxed) <= 3
    assert {step.who for step in boxed} == {"specialist"}


@pytest.mark.parametrize(("card", "what", "change", "names"), TABLE, ids=[f"{c}: {w}" for c, w, _, _ in TABLE])
def test_the_change_brings_what_the_table_predicts(card: str, what: str, change: Change, names: str) -> None:
    before = before_the_looks(card)
    after = change(before)
    assert after != before
    found = {finding.rule for finding in checked(after).findings}
    predicted = set(names.split())
    instead = INSTEAD.get((card, what))
    if instead is not None:
        assert found == set(instead.split())
        assert found if not predicted else not predicted <= found
    elif predicted:
        assert predicted <= found
    else:
        assert found == set()


def test_the_table_is_read_by_card_and_fault() -> None:
    rows = [(card, what) for card, what, _, _ in TABLE]
    assert len(rows) == len(set(rows)) >= 25
    assert set(INSTEAD) <= set(rows)
    assert {card for card, _ in rows} == set(CARDS)


def without_actions(found: Procedure) -> Procedure:
    """The words of a card, and nothing of what it says in the tool's terms."""
    return replace(found, body=changed(found.body, lambda old: replace(old, do=())))


@pytest.mark.parametrize("card", [*CARDS, "hand-drive", "air-in-circuit"])
def test_a_card_that_lost_its_last_action_is_found(card: str) -> None:
    """It is not checked, and what it promises of its start and end must not pass for checked."""
    report = checked(without_actions(procedure(card)))
    assert not report.checked
    assert report.verdicts == ()
    assert [finding.severity for finding in report.findings if finding.rule == "nothing-done"] == [Severity.SERIOUS]


def test_words_that_never_had_actions_are_only_marked_as_not_checked() -> None:
    report = checked(replace(without_actions(procedure("gas-lost")), starts=None, ends=()))
    assert not report.checked
    assert "nothing-done" not in {finding.rule for finding in report.findings}


@pytest.mark.parametrize("card", ["air-in-circuit", *BOXED])
def test_an_emergency_card_is_one_side(card: str) -> None:
    given = procedure(card)
    made = render_card(build_sheet(workspace(), given, None, AS_OF), as_of=AS_OF)
    assert made.pages == 1
