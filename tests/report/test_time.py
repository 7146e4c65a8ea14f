"""What findings of rules about time say: on small procedures of the case rig, and the bounds of a run by themselves."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepwell.report.results import Status
from stepwell.report.time_notes import bounds
from stepwell.rules.shapes.within import Spent
from tests.rules.harness import Case, check, play


def one(least: float, most: float) -> Spent:
    return Spent(least, most, frozenset(), "")


@pytest.mark.parametrize(
    ("times", "expected"),
    [
        # One person, one after another; what is to come may come as soon as the last action begins.
        ([("a", one(5, 10)), ("a", one(20, 40)), ("a", one(5, 10))], (25, 60)),
        # Two people side by side: the longer of the two leads.
        ([("a", one(5, 10)), ("b", one(20, 40)), ("a", one(30, 40)), ("b", one(5, 10))], (35, 100)),
        ([("a", one(0, 10)), ("b", one(20, 40))], (0, 50)),
    ],
)
def test_the_bounds_of_a_run(times: list[tuple[str, Spent]], expected: tuple[float, float]) -> None:
    assert bounds(times) == expected


HEAD = "kind: check\nstarts: {from: supported, pump: stopped, gas: gas-off}\nbody:\n"
RUN = '  - {id: w3ej, who: one, say: "Run {pump}.", do: {run: pump, at: 3000 rpm}%s}\n'
LOOK = '  - {id: m8vx, who: one, say: "Suspend {bubble-stop}.", do: {suspend: bubble-stop}, takes: 50 s .. 1 min}\n'
GAS = '  - {id: k2ma, who: two, say: "Turn {gas} on.", do: {gas-on: gas}, takes: 5 s .. 15 s}\n'
RULE = "gas-late-after-flow"


def case(text: str) -> Case:
    rig = (Path(__file__).parents[1] / "rules" / "cases" / "base-rig.yaml").read_text("utf-8")
    return Case(rule=RULE, number=1, fails=True, text=text, rig=rig)


def test_a_late_step_is_told_with_both_times(tmp_path: Path) -> None:
    report = check(case(HEAD + RUN % ", takes: 10 s .. 20 s" + LOOK + GAS), tmp_path / "unit")
    finding = next(found for found in report.findings if found.rule == RULE)
    assert finding.step == "m8vx"
    notes = [other.message for other in finding.related]
    assert "By the stated times up to 80 s pass, at the quickest 50 s; the limit is 60 s." in notes


def test_a_step_without_a_time_is_named_as_the_reason(tmp_path: Path) -> None:
    report = check(case(HEAD + RUN % "" + GAS), tmp_path / "unit")
    verdict = next(found for found in report.procedures[0].verdicts if found.rule == RULE)
    assert verdict.status is Status.NOT_DECIDED
    assert verdict.bound is not None
    assert verdict.bound.reason.startswith("w3ej states no time")


def test_a_card_that_ends_before_the_time_is_up_is_not_decided(tmp_path: Path) -> None:
    played = play(case(HEAD + RUN % ", takes: 10 s .. 20 s"), tmp_path / "unit")
    assert played.verdicts[RULE] is Status.NOT_DECIDED
