"""Rules that apply only under a recorded policy, and disputed orders on which a unit has recorded none."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from stepwell.model.workspace import Workspace
from stepwell.report.check import Options, check_workspace
from stepwell.report.results import CheckReport, Status
from stepwell.rules.sentence import sentence
from tests.rules.harness import Case, cases_of, loaded_case

RULE = "cap-left-off"
TEXT = """\
starts: {from: primed}
body:
  - {id: w3ej, who: one, say: "Take {tap-cap} off.", do: {uncap: tap-cap}}
"""
TIDY = """\
starts: {from: primed}
body:
  - {id: w3ej, who: one, say: "Take {tap-cap} off.", do: {uncap: tap-cap}}
  - {id: x4fk, who: one, say: "Cap {tap-cap}.", do: {cap: tap-cap}}
"""


def unit(folder: Path, text: str, recorded: tuple[tuple[str, str], ...]) -> Workspace:
    case = Case(rule=RULE, number=1, fails=True, text=text, rig=cases_of(RULE)[0].rig)
    made = loaded_case(case, folder)
    disputed = tuple(replace(rule, policy=(("coming-off", "return-first"),)) for rule in made.rules if rule.name == RULE)
    return replace(made, rules=disputed, unit=replace(made.unit, policy=recorded))


def checked(workspace: Workspace) -> CheckReport:
    return check_workspace(workspace, as_of=date(2026, 11, 25), clock=lambda: 0.0, options=Options(bites=False))


def test_under_its_policy_a_rule_is_judged(tmp_path: Path) -> None:
    report = checked(unit(tmp_path, TEXT, (("coming-off", "return-first"),)))
    (verdict,) = report.procedures[0].verdicts
    assert verdict.status is Status.VIOLATED
    assert report.exit_code() == 1


def test_under_another_policy_it_does_not_exist(tmp_path: Path) -> None:
    report = checked(unit(tmp_path, TEXT, (("coming-off", "stop-first"),)))
    assert report.procedures[0].verdicts == ()
    assert report.exit_code() == 0


@pytest.mark.parametrize("text", [TEXT, TIDY])
def test_without_a_policy_it_is_not_decided_and_asked_for(text: str, tmp_path: Path) -> None:
    report = checked(unit(tmp_path, text, (("going-on", "idle-first"),)))
    (verdict,) = report.procedures[0].verdicts
    assert verdict.status is Status.NOT_DECIDED
    assert verdict.finding is None
    assert verdict.bound is not None
    assert verdict.bound.reason == "the unit has recorded no policy on coming-off"
    (finding,) = report.findings
    assert finding.rule == "policy-not-recorded"
    assert "`coming-off: return-first`" in finding.mend
    assert finding.span is not None
    assert finding.span.path.endswith("unit.yaml")
    assert report.exit_code() == 1


def test_a_policy_on_what_the_card_does_not_do_is_not_asked_for(tmp_path: Path) -> None:
    made = unit(tmp_path, TIDY, ())
    caps_away = replace(made.rigs[0], parts=tuple(part for part in made.rigs[0].parts if part.kind != "cap"))
    assert [part for part in caps_away.parts if part.kind == "cap"] == []
    kind = replace(made.rules[0], procedures=("emergency",))
    report = checked(replace(made, rules=(kind,)))
    assert report.findings == ()


def test_the_sentence_says_under_which_policy(tmp_path: Path) -> None:
    (rule,) = unit(tmp_path, TEXT, ()).rules
    assert sentence(rule).startswith("Where the unit's policy is coming-off: return-first, for every cap, ")
