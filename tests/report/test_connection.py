"""Connection to a patient and the emergency card: what must be refused.

The looks that stop most mistakes before they harm are left out here, so that the rules themselves must speak.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import Action, Condition, Procedure, Step, steps_of
from stepwell.model.workspace import Workspace
from stepwell.report.results import ProcedureReport, Status
from tests.circuit.test_settle import quantity
from tests.demo import before_the_looks, changed, checked, moved_behind, procedure, rig, status, workspace


def with_do(found: Procedure, step: str, do: tuple[Action, ...]) -> Procedure:
    return replace(found, body=changed(found.body, lambda old: replace(old, do=do) if old.id == step else old))


def kinds_of(card: str, action: Action) -> set[str]:
    """The kinds of the parts of an action."""
    return {part.kind for part in rig(procedure(card).rig).parts if part.id in action.parts}


def fatal(report: ProcedureReport) -> set[str]:
    return {finding.rule for finding in report.findings if finding.severity is Severity.FATAL}


def test_connection_and_air_card_are_clean() -> None:
    for name in ("connect-va", "air-in-circuit"):
        assert checked(procedure(name)).findings == ()


def test_leaving_out_the_clamps_before_parting_is_fatal() -> None:
    """Oracle: deleting any one clamp step of a connection gives at least one fatal finding."""
    found = before_the_looks("connect-va")
    shutting = [step.id for step in steps_of(found.body) if any(action.verb == "shut" for action in step.do)]
    assert shutting == ["b7mx"]
    for step in shutting:
        left_out = replace(found, body=changed(found.body, lambda old, step=step: None if old.id == step else old))
        assert "parted-with-a-side-open" in fatal(checked(left_out))


CLAMP_STEPS = [
    (card, step.id, action.verb)
    for card in ("connect-va", "connect-vv", "circuit-change")
    for step in steps_of(procedure(card).body)
    for action in step.do[:1]
    if action.verb in ("shut", "open") and "clamp" in kinds_of(card, action)
]


@pytest.mark.parametrize(("card", "step", "verb"), CLAMP_STEPS, ids=[" ".join(one) for one in CLAMP_STEPS])
def test_leaving_out_any_clamp_step_is_fatal_with_all_the_looks_and_holds_too(card: str, step: str, verb: str) -> None:
    """A hold stops the order before any harm; what it keeps from happening decides how bad it is that it is not met.

    A clamp that is never opened leaves a patient without flow, which the trade counts as serious.
    """
    found = procedure(card)
    report = checked(replace(found, body=changed(found.body, lambda old: None if old.id == step else old)))
    assert fatal(report) or verb == "open", [finding.message for finding in report.findings]
    assert max(finding.severity for finding in report.findings) >= Severity.SERIOUS


def test_what_a_hold_keeps_from_happening_is_told() -> None:
    found = procedure("connect-va")
    report = checked(replace(found, body=changed(found.body, lambda old: None if old.id == "b7mx" else old)))
    (hold,) = [finding for finding in report.findings if finding.rule == "hold-not-met"]
    assert hold.severity is Severity.FATAL
    (note,) = [note for note in hold.related if note.message.startswith("If people went on all the same")]
    assert note.step == "c2wq"
    assert note.message.endswith("(fatal, parted-with-a-side-open).")
    assert status(report, "parted-with-a-side-open") is Status.NOT_APPLICABLE, "no permitted order gets there"


def test_a_look_that_keeps_nothing_from_happening_stays_serious() -> None:
    """Both limbs are open already; a look that asks for another thing that is not so guards against nothing."""

    def ask(old: Step) -> Step:
        return (
            replace(old, expect=(Condition(predicate=Fact("running", (Ref("hand-crank"),))),)) if old.id == "c7fl" else old
        )

    found = procedure("gas-lost")
    report = checked(replace(found, rig="adult-va", body=changed(found.body, ask)))
    (look,) = [finding for finding in report.findings if finding.rule == "expectation-not-met"]
    assert look.severity is Severity.SERIOUS
    assert not any("all the same" in note.message for note in look.related)


@pytest.mark.parametrize("clamp", ["drain-clamp", "return-clamp"])
def test_one_forgotten_clamp_with_nobody_looking_is_fatal(clamp: str) -> None:
    def forget(old: Step) -> Step:
        do = tuple(action for action in old.do if action.parts != (clamp,))
        return replace(old, do=do, expect=()) if old.id == "b7mx" else old

    found = before_the_looks("connect-va")
    assert "parted-with-a-side-open" in fatal(checked(replace(found, body=changed(found.body, forget))))


def with_oxygenator_at(height: str) -> Workspace:
    """The demo workspace with the oxygenator of the patient's rig at another height; the heart is at 90 cm."""
    found = rig("adult-va")
    parts = tuple(
        replace(part, data=tuple((n, quantity(height) if n == "height" else q) for n, q in part.data))
        if part.id == "oxygenator"
        else part
        for part in found.parts
    )
    rigs = tuple(replace(one, parts=parts) if one.id == found.id else one for one in workspace().rigs)
    return replace(workspace(), rigs=rigs)


def test_flow_then_gas_passes_and_gas_then_flow_is_refused() -> None:
    found = before_the_looks("connect-va")
    assert status(checked(found), "gas-on-before-flow") is Status.HOLDS
    assert status(checked(moved_behind(found, "k7ld", "g8sv")), "gas-on-before-flow") is Status.VIOLATED


def test_gas_off_then_stop_passes_and_stop_then_gas_off_depends_on_height() -> None:
    """With the oxygenator below the heart the standing blood still presses on the fibres; above it, gas is drawn in."""
    card = procedure("air-in-circuit")
    assert card.starts is not None
    turning = tuple(one for one in card.starts.open_settings if one[0] != "pump")
    found = replace(card, starts=replace(card.starts, open_settings=turning))
    late = moved_behind(found, "b4xt", "c9ms")
    for height in ("70 cm", "130 cm"):
        where = with_oxygenator_at(height)
        assert status(checked(found, where), "gas-on-without-pressure") is Status.HOLDS
        expected = Status.HOLDS if height == "70 cm" else Status.VIOLATED
        assert status(checked(late, where), "gas-on-without-pressure") is expected


def test_stopping_the_pump_with_the_artery_open_turns_the_flow() -> None:
    report = checked(moved_behind(before_the_looks("air-in-circuit"), "a8qk", "c9ms"))
    assert status(report, "flow-turned-back") is Status.VIOLATED


def test_limbs_put_down_and_swapped_are_refused() -> None:
    swapped = with_do(
        with_do(
            before_the_looks("connect-va"),
            "d9fz",
            (Action(verb="join", parts=("drain-end", "return-cannula-end"), options=(("wet", True),)),),
        ),
        "e4ht",
        (Action(verb="join", parts=("return-end", "drain-cannula-end"), options=(("wet", True),)),),
    )
    report = checked(swapped)
    assert "limb-on-wrong-cannula" in fatal(report)
    (finding,) = [one for one in report.findings if one.rule == "limb-on-wrong-cannula"]
    assert finding.signal == "DANGER"


def test_limbs_joined_dry_leave_air() -> None:
    dry = with_do(before_the_looks("connect-va"), "e4ht", (Action(verb="join", parts=("return-end", "return-cannula-end")),))
    assert "air-sent-to-patient" in fatal(checked(dry))


def test_return_opened_before_the_pump_runs_is_refused() -> None:
    report = checked(moved_behind(before_the_looks("connect-va"), "h5yb", "j3cw"))
    assert status(report, "flow-turned-back") is Status.VIOLATED


def test_a_vent_open_with_the_patient_attached_is_fatal() -> None:
    found = before_the_looks("connect-va")
    opened = with_do(found, "k7ld", (Action(verb="gas-on", parts=("gas",)), Action(verb="open", parts=("oxy-vent",))))
    assert {"vent-left-open", "vent-open-with-patient"} <= fatal(checked(opened))
