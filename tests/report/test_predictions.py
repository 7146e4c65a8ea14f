"""The table of predictions against the verdicts. What it predicts was written before the rules that judge it.

A prediction is kept as it was written. Where the tool says otherwise, `INSTEAD` (what is found) or `OTHER_TRAP` (which step
is told as the trap) records it exactly, and `outcome.md` discusses it.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from stepwell.diagnostics.finding import Finding
from stepwell.report import faults
from tests.demo import checked, workspace
from tests.report.predicted.changes import applied
from tests.report.predicted.table import SORTS, WORDS, Row, rows

OUTCOME = Path(__file__).parent / "predicted" / "outcome.md"
OF_THE_SEARCH = frozenset(fault.name for fault in faults.FAULTS)
"""Findings of the search itself, such as a look that fails; they name no hazard."""

INSTEAD: dict[tuple[str, str], frozenset[str]] = {
    ("prime-adult", "vent left open"): frozenset({"air-drawn-in", "expectation-not-met"}),
    ("prime-adult", "drainage clamp left on after the zero"): frozenset({"dead-headed-too-long", "expectation-not-met"}),
    ("connect-va", "carbon dioxide on the meter"): frozenset({"expectation-not-met"}),
    ("connect-va", "gas outlet capped"): frozenset({"expectation-not-met"}),
    ("connect-va", "drainage opened after the pump runs"): frozenset(),
    ("arrival", "cylinder left open"): frozenset({"ends-not-reached"}),
}
OTHER_TRAP: dict[tuple[str, str], str] = {
    ("prime-adult", "carbon dioxide after the fluid"): "c1of",
    ("prime-adult", "stopped abruptly from the second speed"): "v3lr",
    ("prime-adult", "slides not shut before the spikes are pulled"): "r8nh",
    ("connect-va", "gas a minute and a half after flow"): "k7ld",
    ("ready-to-move", "small cylinder and no hold"): "d4cn",
    ("circuit-change", "one drainage clamp left on"): "f3or",
    ("hand-drive", "clamp never opened"): "d7rn",
}
BY_NAME = {(row.procedure, row.what): row for row in rows()}


def found_by(row: Row) -> tuple[Finding, ...]:
    """The findings on a row."""
    return _found_by(row.procedure, row.what)


@cache
def _found_by(name: str, what: str) -> tuple[Finding, ...]:
    """What the checker says of the changed procedure: hazards, and what the search brought to light.

    How a line is written is not what the table predicts, nor that words which a change left alone no longer fit the action.
    """
    after = applied(BY_NAME[name, what])
    report = checked(after.procedure, after.workspace)
    rules = {rule.name for rule in workspace().rules}
    return tuple(finding for finding in report.findings if finding.rule in rules | OF_THE_SEARCH)


def test_the_table_is_well_formed() -> None:
    assert len(rows()) >= 75
    assert len(BY_NAME) == len(rows())
    known = {rule.name for rule in workspace().rules} | OF_THE_SEARCH
    for row in rows():
        assert row.sort in SORTS
        assert row.change
        for word, values in row.change:
            assert len(values) == WORDS[word], (row.what, word)
        assert row.found <= known, row.what
        # A hazard names its trap, what is no hazard says why; only what is redundant may find nothing.
        assert (row.trap is not None) is (row.sort == "hazard"), row.what
        assert (row.why is not None) is (row.sort != "hazard"), row.what
        assert row.found or row.sort == "redundant", row.what


@pytest.mark.parametrize("row", rows(), ids=[f"{row.procedure}: {row.what}" for row in rows()])
def test_the_change_brings_what_was_predicted(row: Row) -> None:
    names = {finding.rule for finding in found_by(row)}
    came_true = row.found <= names if row.found else not names
    instead = INSTEAD.get((row.procedure, row.what))
    if instead is None:
        assert came_true, f"predicted {sorted(row.found)}, found {sorted(names)}"
    else:
        assert names == instead
        assert not came_true


def told_traps(finding: Finding, row: Row) -> set[str]:
    """The steps that a finding tells as its cause: the trap, else what comes too late, the spring, or what is not done."""
    lines = finding.trace.lines if finding.trace is not None else ()
    marked = {line.step for line in lines if line.mark == "trap"}
    if marked:
        return marked
    told = {note.step for note in finding.related if note.step is not None} | {finding.step or ""}
    if any("is never done" in note.message for note in finding.related):
        told |= {str(values[0]) for word, values in row.change if word in ("drop", "undo")}
    return told


HAZARDS = [row for row in rows() if row.sort == "hazard" and (row.procedure, row.what) not in INSTEAD]


@pytest.mark.parametrize("row", HAZARDS, ids=[f"{row.procedure}: {row.what}" for row in HAZARDS])
def test_the_trap_is_the_predicted_one(row: Row) -> None:
    traps = [told_traps(f, row) for f in found_by(row) if f.rule in row.found - OF_THE_SEARCH]
    assert traps
    other = OTHER_TRAP.get((row.procedure, row.what))
    if other is None:
        assert any(row.trap in told for told in traps), traps
    else:
        assert not any(row.trap in told for told in traps)
        assert any(other in told for told in traps)


def test_what_would_help_is_told_as_it_should_be() -> None:
    """What should not be so is told by its opposite: a pump that should not turn, a cap that should not be vented."""
    told = [note.message for row in HAZARDS for finding in found_by(row) for note in finding.related]
    assert "What would help is never done: the pump head stands still." in told
    assert not any(message.endswith("is a vented cap.") for message in told)


def test_every_disagreement_is_discussed() -> None:
    told = re.findall(r"^- \*\*(.+?): (.+?)\.\*\*", OUTCOME.read_text(encoding="utf-8"), flags=re.MULTILINE)
    assert len(told) == len(set(told))
    assert set(told) == set(INSTEAD) | set(OTHER_TRAP)
    assert set(told) <= set(BY_NAME)


def test_the_counts_of_the_document_are_right() -> None:
    hazards = sum(row.sort == "hazard" for row in rows())
    text = " ".join(OUTCOME.read_text(encoding="utf-8").split())
    assert f"{len(rows())} predictions, {hazards} of them hazards" in text
    assert f"{len(rows()) - len(INSTEAD)} came true and {len(INSTEAD)} did not" in text
    assert f"{len(HAZARDS) - len(OTHER_TRAP)} of {len(HAZARDS)} traps" in text
