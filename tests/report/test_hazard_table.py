"""The table of hazards: every rule names hazards that exist, and a hazard without a rule says so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from time import monotonic

import pytest

from stepwell.cli.names import builtin_rules
from stepwell.diagnostics.severity import Severity
from stepwell.render.text.hazards import NO_RULE, render_hazards
from stepwell.report.check import Options, check_workspace
from stepwell.report.hazard_table import hazard_table, shape_words
from stepwell.report.results import CheckReport, Status
from stepwell.rules.hazards import HAZARDS, hazard
from tests.demo import workspace


@pytest.fixture(scope="module")
def report() -> CheckReport:
    return check_workspace(
        workspace(), as_of=date(2026, 11, 30), clock=monotonic, procedures={"connect-va"}, options=Options(bites=True)
    )


def test_the_register_numbers_each_hazard_once() -> None:
    numbers = [entry.number for entry in HAZARDS]
    assert numbers == [f"H{n:02d}" for n in range(1, 97)]


@pytest.mark.parametrize("rule", builtin_rules(), ids=lambda rule: rule.name)
def test_a_rule_names_hazards_of_the_register(rule) -> None:  # type: ignore[no-untyped-def]
    assert [number for number in rule.hazards if hazard(number) is None] == []


def test_a_rule_is_not_milder_than_common_sense_allows() -> None:
    """A fatal rule may not stand for hazards that are only minor at worst."""
    fatal = [rule for rule in builtin_rules() if rule.severity is Severity.FATAL and rule.hazards]
    assert fatal
    for rule in fatal:
        worst = max(entry.severity for number in rule.hazards if (entry := hazard(number)))
        assert worst >= Severity.SERIOUS, rule.name


def test_every_hazard_has_a_row_and_silence_is_told(report: CheckReport) -> None:
    rows = hazard_table(builtin_rules(), report)
    assert [row.hazard for row in rows] == list(HAZARDS)
    text = render_hazards(rows)
    unwatched = [row for row in rows if not row.watches]
    assert text.count(NO_RULE) == len(unwatched)
    assert f"{len(rows) - len(unwatched)} of 96 hazards have a rule." in text


def test_the_controlling_step_is_the_one_that_would_break_it(report: CheckReport) -> None:
    text = render_hazards(hazard_table(builtin_rules(), report))
    line = next(line for line in text.splitlines() if "parted-with-a-side-open" in line)
    assert line.startswith("| H33 The loop is parted before both sides are clamped. | fatal |")
    assert "| before doing | connect-va, step b7mx |" in line


def test_what_is_violated_or_undecided_shouts(report: CheckReport) -> None:
    procedure = report.procedures[0]
    verdicts = tuple(
        replace(verdict, status=Status.VIOLATED if verdict.rule == "patient-left-open" else Status.NOT_DECIDED)
        for verdict in procedure.verdicts
    )
    broken = replace(report, procedures=(replace(procedure, verdicts=verdicts),))
    text = render_hazards(hazard_table(builtin_rules(), broken))
    assert next(line for line in text.splitlines() if "patient-left-open" in line).count("connect-va: VIOLATED") == 1
    assert "connect-va: NOT DECIDED" in text
    assert "by no single step" not in text


def test_a_shape_is_named_in_words() -> None:
    assert {shape_words(rule.shape) for rule in builtin_rules()} >= {"never", "becomes", "before doing", "at the end"}


ORDER_AND_STATE = (
    *range(1, 6), 7, *range(10, 19), *range(20, 23), 28, 31, *range(33, 37), *range(38, 44), 46, *range(61, 68),
    *range(70, 74), *range(77, 83),
)  # fmt: skip
"""The hazards that an order of actions or a state of the circuit can show."""


def test_every_hazard_of_order_or_state_has_a_rule() -> None:
    watched = {number for rule in builtin_rules() for number in rule.hazards}
    assert [f"H{n:02d}" for n in ORDER_AND_STATE if f"H{n:02d}" not in watched] == []
