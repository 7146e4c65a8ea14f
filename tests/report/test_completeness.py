"""No order is silently dropped: every way in which a run can stop is told, at its place, and what was not reached is not
called safe."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepwell.diagnostics.finding import Finding
from stepwell.report.results import CheckReport, Status
from tests.rules.harness import Case, cases_of, check, header_lines

RULE = "cap-left-off"
SHUT = '  - {id: w3ej, who: one, say: "Shut {return-clamp}.", do: {shut: return-clamp}}\n'
OPEN = '  - {id: o3pn, who: one, say: "Open {return-clamp}.", do: {open: return-clamp}}\n'
QUESTION = """\
  - choose: Is it open?
    id: q7aa
    who: one
    outcomes:
      - label: "yes"
        when: {open: return-clamp}
        steps: [{id: x4fk, who: one, say: "Shut {drain-clamp}.", do: {shut: drain-clamp}}]
"""
REPEAT = """\
  - repeat: Until it runs
    id: r7aa
    until: {running: pump}
    at-most: 2
    steps: [{id: x4fk, who: one, say: Wait 5 s., do: {wait: 5 s}}]
"""
HOLD = """\
  - hold: All ready
    id: h7aa
    until: [{running: pump}]
    agree: [one]
    abort: Stop.
"""
EXPECT = '  - {id: e5pc, who: one, say: "Cap {tap-cap}.", do: {cap: tap-cap}, expect: {running: pump}}\n'
REFUSED = '  - {id: j3ej, who: one, say: "Part {spike} from {top-spike}.", do: {part: [spike, top-spike]}}\n'


def case(body: str) -> Case:
    return Case(rule=RULE, number=1, fails=True, text="starts: {from: primed}\nbody:\n" + body, rig=cases_of(RULE)[0].rig)


def found(report: CheckReport, rule: str) -> Finding:
    return next(finding for finding in report.findings if finding.rule == rule)


@pytest.mark.parametrize(
    ("stop", "rule", "words", "line"),
    [
        (QUESTION, "expectation-not-met", 'Every answer to this question is for the case "the return clamp is open"', 4),
        (REPEAT, "expectation-not-met", 'After its last round this repeat waits for "the pump is running"', 4),
        (HOLD, "hold-not-met", 'This hold waits for "the pump is running"', 6),
        (EXPECT, "expectation-not-met", 'This step expects "the pump is running"', 4),
        (REFUSED, "action-cannot-be-done", "In some permitted order this can't be done", 4),
    ],
)
def test_every_stop_is_told_where_it_is(stop: str, rule: str, words: str, line: int, tmp_path: Path) -> None:
    made = case(SHUT + stop + OPEN)
    report = check(made, tmp_path / "unit")
    finding = found(report, rule)
    assert words in finding.message
    assert finding.span is not None
    assert finding.span.line - header_lines(made) == line
    assert finding.trace is not None
    assert report.exit_code() == 1


@pytest.mark.parametrize("stop", [QUESTION, REPEAT, HOLD, EXPECT, REFUSED])
def test_what_no_order_reaches_is_not_called_safe(stop: str, tmp_path: Path) -> None:
    """A rule for the end of the card is not decided where no order comes to the end."""
    report = check(case(SHUT + stop + OPEN), tmp_path / "unit")
    verdicts = {verdict.rule: verdict for verdict in report.procedures[0].verdicts}
    assert verdicts["end-left-bare"].status is Status.NOT_DECIDED
    assert verdicts["end-left-bare"].bound is not None
    assert "no order reaches the end" in verdicts["end-left-bare"].bound.reason
    # What is looked at after each action was looked at in every order there is.
    assert verdicts["air-drawn-in"].status in (Status.HOLDS, Status.NOT_APPLICABLE)


def test_what_never_occurs_does_not_apply(tmp_path: Path) -> None:
    report = check(case(SHUT + OPEN), tmp_path / "unit")
    verdicts = {verdict.rule: verdict.status for verdict in report.procedures[0].verdicts}
    assert verdicts["too-few-clamps"] is Status.NOT_APPLICABLE, "the set has no counted clamps"
    assert verdicts["gas-late-after-flow"] is Status.NOT_APPLICABLE, "no patient is attached"
    assert verdicts["sensors-swapped"] is Status.NOT_APPLICABLE, "the sensor states no side"
    assert verdicts["end-left-bare"] is Status.HOLDS
