"""Every rule of the catalogue on its own small cases."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepwell.report.results import Status

from .harness import CASES, Case, cases_of, catalogue, play

RULES = catalogue()
EVERY_CASE = [case for rule in RULES for case in cases_of(rule.name)]


@pytest.mark.parametrize("case", EVERY_CASE, ids=lambda case: f"{case.rule}-{case.number}")
def test_the_check_finds_what_the_case_announces_and_nothing_else(case: Case, tmp_path: Path) -> None:
    played = play(case, tmp_path / "unit")
    assert played.found == case.wanted, f"found:\n{played.messages}"
    assert any(rule == case.rule for _, rule in case.wanted) is case.fails
    assert played.verdicts[case.rule] is (Status.VIOLATED if case.fails else Status.HOLDS)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_rule_has_a_passing_and_a_failing_case(rule) -> None:  # type: ignore[no-untyped-def]
    cases = cases_of(rule.name)
    assert {case.fails for case in cases} == {True, False}, f"{rule.name} needs a passing and a failing case"


def test_every_case_file_belongs_to_a_rule() -> None:
    assert {path.stem for path in CASES.glob("*.md")} == {rule.name for rule in RULES}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_case_file_explains_itself(rule) -> None:  # type: ignore[no-untyped-def]
    text = (CASES / f"{rule.name}.md").read_text("utf-8")
    assert text.startswith(f"# {rule.title}\n")
    prose = text.split("```")[0].splitlines()[1:]
    assert len(" ".join(prose).split()) >= 15, "say in a few words what the case is about"
