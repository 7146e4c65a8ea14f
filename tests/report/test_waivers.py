"""Waivers: what they cover, what they do not, and what is wrong with them."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest
from jsonschema import Draft7Validator

from stepwell.diagnostics.finding import Finding
from stepwell.model.procedure import Procedure
from stepwell.model.waiver import Waiver
from stepwell.model.workspace import Workspace
from stepwell.orders.search import Bounds
from stepwell.publish.status import status_of
from stepwell.render.json_report import check_document
from stepwell.render.junit import render_junit
from stepwell.render.sarif import render_sarif
from stepwell.render.site.verdict_words import tell
from stepwell.render.text.check_report import render_check
from stepwell.render.text.look import Look
from stepwell.report.check import Options, check_workspace
from stepwell.report.results import CheckReport, Status, Verdict
from stepwell.resources import data_dir
from tests.rules.harness import Case, cases_of, loaded_case

DAY = date(2026, 11, 25)
RULE = "cap-left-off"
LEFT_OFF = """\
starts: {from: primed}
body:
  - {id: w3ej, who: one, say: "Take {tap-cap} off.", do: {uncap: tap-cap}}
"""
TWICE = """\
starts: {from: primed, return-clamp: shut}
body:
  - {id: w3ej, who: one, say: "Run {pump} for 90 s.", do: {run: pump, at: 1500 rpm, for: 90 s}}
  - {id: d7ql, who: one, say: "Open {return-clamp}.", do: {open: return-clamp}}
  - {id: s5ht, who: one, say: "Shut {return-clamp}.", do: {shut: return-clamp}}
  - {id: n5tc, who: two, say: Wait 60 s., do: {wait: 60 s}}
  - {id: r8op, who: one, say: "Open {return-clamp}.", do: {open: return-clamp}}
"""
LONG = "dead-headed-too-long"


def waiver(rule: str = RULE, until: date = date(2027, 3, 31), step: str | None = None) -> Waiver:
    return Waiver(rule=rule, procedure="case", reason="The cap is put on at the bedside.", by="one", until=until, step=step)


def workspace(tmp: object, text: str) -> Workspace:
    case = Case(rule=RULE, number=1, fails=True, text=text, rig=cases_of(RULE)[0].rig)
    return loaded_case(case, tmp)  # type: ignore[arg-type]


def checked(unit: Workspace, *waivers: Waiver, as_of: date = DAY, states: int = 400_000) -> CheckReport:
    options = Options(bites=False, bounds=Bounds(states=states))
    return check_workspace(replace(unit, waivers=waivers), as_of=as_of, clock=lambda: 0.0, options=options)


def verdict(report: CheckReport, rule: str = RULE) -> Verdict:
    return next(one for one in report.procedures[0].verdicts if one.rule == rule)


def found(report: CheckReport, rule: str) -> list[Finding]:
    return [finding for finding in report.findings if finding.rule == rule]


@pytest.fixture
def left_off(tmp_path: object) -> Workspace:
    return workspace(tmp_path, LEFT_OFF)


@pytest.fixture
def twice(tmp_path: object) -> Workspace:
    return workspace(tmp_path, TWICE)


def others(unit: Workspace, *rules: str) -> Workspace:
    """The unit with these rules alone, so that nothing else counts."""
    return replace(unit, rules=tuple(rule for rule in unit.rules if rule.name in rules))


def test_a_waived_rule_stays_violated_and_is_not_counted(left_off: Workspace) -> None:
    unit = others(left_off, RULE)
    assert checked(unit).exit_code() == 1
    report = checked(unit, waiver())
    assert report.exit_code() == 0
    assert verdict(report).status is Status.VIOLATED
    assert verdict(report).waiver == waiver()
    (finding,) = found(report, RULE)
    assert finding.waived == "First person, until 2027-03-31: The cap is put on at the bedside."
    assert finding.trace is not None, "the order that leads there is still shown"


def test_it_is_over_on_the_day_after_its_last(left_off: Workspace) -> None:
    unit = others(left_off, RULE)
    last = waiver(until=DAY)
    assert checked(unit, last).exit_code() == 0
    late = checked(unit, last, as_of=date(2026, 11, 26))
    assert late.exit_code() == 1
    assert verdict(late).waiver is None
    assert found(late, RULE)[0].waived == ""
    assert "ended on 2026-11-25" in found(late, "waiver-expired")[0].message


def test_one_that_waives_nothing_is_a_finding(left_off: Workspace) -> None:
    unit = others(left_off, RULE, LONG)
    report = checked(unit, waiver(), waiver(LONG), waiver("of-another-kind"))
    assert [finding.message for finding in found(report, "waiver-unused")] == [
        "The waiver of “dead-headed-too-long” in case waives nothing: no unsafe order is found there.",
        "The waiver of “of-another-kind” in case waives nothing: no unsafe order is found there.",
    ]


def test_one_of_another_procedure_changes_nothing(left_off: Workspace) -> None:
    elsewhere = replace(waiver(), procedure="another")
    report = checked(others(left_off, RULE), elsewhere)
    assert report.exit_code() == 1
    assert found(report, "waiver-unused") == []


def test_at_one_step_it_does_not_hide_another(twice: Workspace) -> None:
    unit = others(twice, LONG)
    report = checked(unit, waiver(LONG, step="w3ej"))
    assert report.exit_code() == 1
    assert verdict(report, LONG).waiver is None
    told = {finding.step: bool(finding.waived) for finding in found(report, LONG)}
    assert told == {"w3ej": True, "n5tc": False}
    both = checked(unit, waiver(LONG, step="w3ej"), waiver(LONG, step="n5tc"))
    assert both.exit_code() == 0
    assert verdict(both, LONG).waiver == waiver(LONG, step="w3ej")
    assert found(both, "waiver-unused") == []


def test_a_search_for_other_steps_that_was_cut_short_covers_nothing(twice: Workspace) -> None:
    """With two places the order to the first step is found, and nobody knows whether there is one to another."""
    report = checked(others(twice, LONG), waiver(LONG, step="w3ej"), states=2)
    assert verdict(report, LONG).status is Status.VIOLATED
    assert verdict(report, LONG).waiver is None
    assert [finding.waived for finding in found(report, LONG)] == [""]
    assert found(report, "waiver-unused") == []
    assert report.exit_code() == 1


def test_at_a_step_where_nothing_strikes_it_is_unused(twice: Workspace) -> None:
    report = checked(others(twice, LONG), waiver(LONG, step="d7ql"))
    assert verdict(report, LONG).waiver is None
    assert "at step d7ql" in found(report, "waiver-unused")[0].message


def test_a_rule_for_the_end_strikes_at_no_step(left_off: Workspace) -> None:
    report = checked(others(left_off, RULE), waiver(step="w3ej"))
    assert report.exit_code() == 1
    assert found(report, "waiver-unused")


def test_without_an_answer_it_is_not_called_unused(left_off: Workspace) -> None:
    unit = others(left_off, RULE)
    broken = replace(unit.procedures[0], starts=replace(_starts(unit.procedures[0]), baseline="nowhere"))
    report = checked(replace(unit, procedures=(broken,)), waiver())
    assert verdict(report).status is Status.NOT_DECIDED
    assert found(report, "waiver-unused") == []


def _starts(procedure: Procedure):  # type: ignore[no-untyped-def]
    assert procedure.starts is not None
    return procedure.starts


def test_every_form_of_the_report_shows_it(left_off: Workspace) -> None:
    unit = others(left_off, RULE)
    report = checked(unit, waiver())
    text = " ".join(render_check(report, Look(width=200)).split())
    assert "WAIVED UNSAFE" in text
    assert "WAIVED by First person, until 2027-03-31: The cap is put on at the bedside." in text
    assert "1 finding WAIVED: found, shown, and not counted." in text
    document = check_document(report, version="0")
    schema = json.loads((data_dir("schema") / "check.schema.json").read_text("utf-8"))
    assert list(Draft7Validator(schema).iter_errors(json.loads(json.dumps(document)))) == []
    told = json.loads(json.dumps(document))["verdicts"][0]
    assert (told["status"], told["waiver"]["by"], told["waiver"]["until"]) == ("violated", "one", "2027-03-31")
    assert "waived by First person" in render_junit(report)
    assert "<failure" not in render_junit(report)
    assert json.loads(render_sarif(report, unit.rules, version="0"))["runs"][0]["results"][0]["suppressions"]
    page = tell(report.procedures[0], {})
    assert "1 of them waived" in page.headline
    assert page.violated[0].related[0].startswith("Waived by First person")
    assert any("violated, but waived" in why for why in status_of(unit.procedures[0], report.procedures[0], None).reasons)
