"""What answers for a critical step: a confirmation that is in time and can see the slip, a waiver by name, or nothing."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft7Validator

from stepwell.model.procedure import Body, PartName, Procedure, Sight, Step, Text
from stepwell.model.review import ON_CONFIRMATION
from stepwell.model.slip import Sort
from stepwell.model.waiver import Waiver
from stepwell.resources import data_dir
from stepwell.slips import find_slips
from stepwell.slips.answers import Answers, How, answered
from stepwell.slips.results import SlipReport
from tests.cli.conftest import Call, bad, call, good
from tests.demo import before_the_looks, changed, workspace

__all__ = ["bad", "call", "good"]

DAY = date(2026, 11, 25)
LAST, AT_ONCE, EARLIER = "k7ld", "d9fz", "b7mx"
"""Of the connection: gas on as the last step, a join that harms at once, clamps that are shut well before the parting."""
GAS_LEFT_OFF = "flow-without-gas"


def connection(change: Callable[[Body], Body] = lambda body: body) -> Procedure:
    found = before_the_looks("connect-va")
    return replace(found, body=change(found.body))


def edited(step: str, **fields: object) -> Callable[[Body], Body]:
    return lambda body: changed(body, lambda old: replace(old, **fields) if old.id == step else old)  # type: ignore[arg-type]


def ending_in(step: Step) -> Callable[[Body], Body]:
    return lambda body: (*body, step)


@cache
def found(procedure: Procedure) -> SlipReport:
    report = find_slips(workspace(), procedure, clock=time.process_time)
    assert report is not None
    return report


def judged(procedure: Procedure, *waivers: Waiver, most: int = ON_CONFIRMATION, as_of: date = DAY) -> Answers:
    unit = workspace().unit
    assert unit.review is not None
    unit = replace(unit, review=replace(unit.review, on_confirmation=most))
    return answered(found(procedure), procedure, unit, waivers, as_of)


def how(answers: Answers, step: str, sort: Sort) -> How | None:
    slip = answers.report.slip(step, sort)
    assert slip is not None
    answer = answers.answer(slip)
    return answer.how if answer else None


def waiver(step: str = LAST, sort: Sort = Sort.OMITTED, rule: str = GAS_LEFT_OFF) -> Waiver:
    return Waiver(
        rule=rule, procedure="connect-va", step=step, slip=sort, reason="Seen.", by="perfusionist", until=date(2028, 1, 1)
    )


def names(answers: Answers) -> set[tuple[str, str | None]]:
    return {(finding.rule, finding.step) for finding in answers.findings}


LOOKED_AT = Step(
    id="z9lk",
    who="assistant",
    say=(Text("Look at "), PartName("gas"), Text(".")),
    expect=(Sight(words=(Text("a float that rises"),)),),
    confirm="perfusionist",
)


def test_a_critical_step_that_nothing_answers_for_is_a_finding() -> None:
    answers = judged(connection())
    assert how(answers, LAST, Sort.OMITTED) is How.NOTHING
    assert {step for rule, step in names(answers) if rule == "critical-step-unanswered"} == set(answers.report.critical)
    one = next(finding for finding in answers.findings if finding.step == LAST)
    assert one.span is not None
    assert "left out" in one.message
    assert GAS_LEFT_OFF in one.message


def test_a_confirmation_at_a_step_is_left_out_with_it() -> None:
    own = judged(connection(edited(LAST, confirm="assistant")))
    assert how(own, LAST, Sort.OMITTED) is How.NOTHING
    assert how(judged(connection()), EARLIER, Sort.OMITTED) is How.NOTHING


def test_who_confirms_a_step_looks_at_what_it_expects() -> None:
    answers = judged(connection())
    slip = answers.report.slip(EARLIER, Sort.LOOK_ALIKE)
    assert slip is not None
    assert slip.fatal_silent
    assert how(answers, EARLIER, Sort.LOOK_ALIKE) is How.CONFIRMED
    assert slip.confirmed_by == (EARLIER,)
    alone = judged(connection(edited(EARLIER, confirm=None)))
    assert how(alone, EARLIER, Sort.LOOK_ALIKE) is How.NOTHING


def test_a_confirmation_after_the_harm_is_too_late() -> None:
    answers = judged(connection(edited(AT_ONCE, confirm="perfusionist")))
    assert how(answers, AT_ONCE, Sort.LOOK_ALIKE) is How.NOTHING


def test_a_later_look_in_words_counts_if_a_second_role_confirms_it() -> None:
    answers = judged(connection(ending_in(LOOKED_AT)))
    assert how(answers, LAST, Sort.OMITTED) is How.CONFIRMED
    assert LAST in answers.leaning
    assert all(finding.step != LAST for finding in answers.findings)


@pytest.mark.parametrize(
    "weaker",
    [
        replace(LOOKED_AT, confirm=None),
        replace(LOOKED_AT, confirm="specialist"),
        replace(LOOKED_AT, say=(Text("Look at "), PartName("pump"), Text("."))),
    ],
    ids=["nobody", "who-slipped", "another-part"],
)
def test_a_later_look_does_not_count(weaker: Step) -> None:
    assert how(judged(connection(ending_in(weaker))), LAST, Sort.OMITTED) is How.NOTHING


def test_a_look_before_the_slip_does_not_count() -> None:
    answers = judged(connection(lambda body: (LOOKED_AT, *body)))
    assert how(answers, LAST, Sort.OMITTED) is How.NOTHING


def test_a_look_that_may_be_left_out_does_not_count() -> None:
    answers = judged(connection(ending_in(replace(LOOKED_AT, optional=True))))
    assert how(answers, LAST, Sort.OMITTED) is How.NOTHING


def test_more_confirmations_than_may_be_are_a_finding() -> None:
    procedure = connection(ending_in(LOOKED_AT))
    assert len(judged(procedure).leaning) == 2
    assert ("too-many-on-confirmation", None) not in names(judged(procedure, most=2))
    assert ("too-many-on-confirmation", None) in names(judged(procedure, most=1))
    assert ("too-many-on-confirmation", None) not in names(judged(procedure, waiver(), most=1))


def test_a_waiver_answers_for_its_step_its_sort_and_its_rule() -> None:
    answers = judged(connection(), waiver())
    assert how(answers, LAST, Sort.OMITTED) is How.WAIVED
    assert ("critical-step-unanswered", LAST) not in names(answers)
    assert answers.count(How.WAIVED) == 1
    other = judged(connection(), waiver(rule="gas-left-off"))
    assert how(other, LAST, Sort.OMITTED) is How.NOTHING
    assert ("slip-waiver-unused", LAST) in names(other)
    assert ("slip-waiver-unused", LAST) in names(judged(connection(), waiver(sort=Sort.TWICE)))


def test_a_waiver_that_is_over_is_a_finding_and_answers_for_nothing() -> None:
    answers = judged(connection(), waiver(), as_of=date(2028, 1, 2))
    assert how(answers, LAST, Sort.OMITTED) is How.NOTHING
    assert {("slip-waiver-expired", LAST), ("critical-step-unanswered", LAST)} <= names(answers)
    assert ("slip-waiver-unused", LAST) not in names(answers)


def test_all_the_fatal_harm_of_a_slip_has_to_be_waived() -> None:
    procedure = before_the_looks("pump-stopped")
    slip = next(slip for slip in found(procedure).slips if len(slip.harms) > 1)
    one, *rest = (replace(waiver(slip.step, slip.sort, rule), procedure="pump-stopped") for rule in slip.harms)
    assert how(judged(procedure, one), slip.step, slip.sort) is How.NOTHING
    assert how(judged(procedure, one, *rest), slip.step, slip.sort) is How.WAIVED


WAIVER = """\
waiver: sensor-zeroed-wet
procedure: right
step: a1bc
slip: omitted
by: nurse
until: 2028-01-01
reason: A sensor that is not zeroed is seen at once.
"""


def test_check_answers_for_slips_only_when_asked(call: Call, good: Path) -> None:
    (good / "rules").mkdir()
    (good / "rules/waived.yaml").write_text(WAIVER, encoding="utf-8")
    assert call("check", good).code == 0
    asked = call("check", good, "--slips")
    assert asked.code == 1
    assert "slip-waiver-unused" in asked.out
    assert " ".join(asked.out.split()).endswith("1 finding to answer for in slips.")
    document = json.loads(call("check", good, "--slips", "--format", "json").out)
    schema = json.loads((data_dir("schema") / "check.schema.json").read_text(encoding="utf-8"))
    Draft7Validator(schema).validate(document)
    assert [finding["code"] for finding in document["findings"]] == ["SW604"]
    assert document["slips"][0]["unanswered"] == 0
    for style in ("sarif", "junit"):
        assert "slip-waiver-unused" in call("check", good, "--slips", "--format", style).out


def test_the_schema_knows_a_waiver_of_a_slip() -> None:
    schema = Draft7Validator(json.loads((data_dir("schema") / "rules.schema.json").read_text(encoding="utf-8")))
    text = yaml.safe_load(WAIVER) | {"until": "2028-01-01"}
    assert schema.is_valid(text)
    assert not schema.is_valid({key: value for key, value in text.items() if key != "step"})
    assert not schema.is_valid(text | {"slip": "forgotten"})


@pytest.mark.parametrize("name", ["SW601", "SW602", "slip-waiver-expired", "slip-waiver-unused"])
def test_each_finding_is_explained(name: str, call: Call) -> None:
    assert "--slips" in call("explain", name).out or "steps-on-confirmation" in call("explain", name).out
