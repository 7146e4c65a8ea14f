"""Single slips on the demo unit."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Hold, Item, Procedure, Step
from stepwell.model.slip import Sort
from stepwell.model.workspace import Workspace
from stepwell.orders.search import Bounds
from stepwell.slips import find_slips
from stepwell.slips.answers import Answers, How, answered
from stepwell.slips.results import Outcome, Slip, SlipReport
from tests.demo import before_the_looks, changed, procedure, workspace

BOUNDS = Bounds(states=100_000, seconds=120)
CATCHES = (
    ("air-in-circuit", "a9lk"),
    ("pump-stopped", "f5rd"),
    ("pump-stopped", "h1fl"),
    ("hand-drive", "f8rd"),
    ("hand-drive", "h3fl"),
    ("gas-lost", "c7fl"),
    ("line-apart", "c6lk"),
    ("connect-va", "p2bh"),
    ("connect-va", "l5fh"),
    ("ready-to-move", "f2rd"),
)
"""Looks and holds of the demo that alone catch some fatal slip."""


@cache
def slips(found: Procedure, bounds: Bounds = BOUNDS) -> SlipReport:
    report = find_slips(workspace(), found, clock=time.process_time, bounds=bounds)
    assert report is not None
    return report


def slip(report: SlipReport, step: str, sort: Sort) -> Slip:
    found = report.slip(step, sort)
    assert found is not None
    return found


def unchecked(found: Procedure, step: str) -> Procedure:
    def change(old: Step) -> Step:
        return replace(old, expect=(), if_not=None) if old.id == step else old

    return replace(found, body=changed(found.body, change))


def test_clamps_left_open_before_parting_are_a_silent_fatal_slip() -> None:
    report = slips(before_the_looks("connect-va"))
    found = slip(report, "b7mx", Sort.OMITTED)
    assert (found.outcome, found.rule, found.severity) == (Outcome.SILENT, "parted-with-a-side-open", Severity.FATAL)
    assert found.where == "c2wq"
    assert "b7mx" in report.critical
    # Parting anyway ends in the hold that looks whether each limb is on its own cannula.
    assert slip(report, "d9fz", Sort.OMITTED) == Slip(
        step="d9fz", sort=Sort.OMITTED, outcome=Outcome.CAUGHT, where="f6pn", fatal=True
    )
    # What was never parted can't be joined.
    assert (slip(report, "c2wq", Sort.OMITTED).outcome, slip(report, "c2wq", Sort.OMITTED).where) == (
        Outcome.STOPPED,
        "d9fz",
    )
    assert report.fatal_silent == sum(one.fatal_silent for one in report.slips)
    assert 0 < report.fatal_silent < report.fatal_total


def test_a_deleted_check_lets_more_slips_pass() -> None:
    as_written = slips(before_the_looks())
    # The look after a minute's run against shut clamps comes too late: the minute is the harm.
    late = slip(as_written, "e5ro", Sort.OMITTED)
    assert (late.outcome, late.where, late.rule) == (Outcome.SILENT, "m9fu", "dead-headed-too-long")
    assert slip(as_written, "u9cj", Sort.UNCHECKED).outcome is Outcome.ONLY_CATCH
    assert slip(as_written, "s2gm", Sort.OMITTED) == Slip(
        step="s2gm", sort=Sort.OMITTED, outcome=Outcome.CAUGHT, where="u9cj", fatal=True
    )
    blind = slips(unchecked(unchecked(before_the_looks(), "m9fu"), "u9cj"))
    assert slip(blind, "e5ro", Sort.OMITTED).outcome is Outcome.SILENT
    assert slip(blind, "s2gm", Sort.OMITTED).outcome is Outcome.SILENT
    assert blind.fatal_silent > as_written.fatal_silent
    assert blind.fatal_total == as_written.fatal_total


def test_a_bound_leaves_slips_undecided_and_never_harmless() -> None:
    report = slips(procedure("connect-va"), Bounds(states=3, seconds=60))
    assert {one.outcome for one in report.slips} <= {Outcome.UNDECIDED, Outcome.SILENT}
    assert report.undecided > 20


def test_wording_only_has_no_report() -> None:
    def change(old: Step) -> Step:
        return replace(old, do=())

    bare = replace(procedure("connect-va"), body=changed(procedure("connect-va").body, change))
    assert find_slips(workspace(), bare, clock=time.process_time, bounds=BOUNDS) is None


def test_a_start_from_an_unknown_end_has_no_report() -> None:
    found = procedure()
    assert found.starts is not None
    nowhere = replace(found, starts=replace(found.starts, procedure="nowhere"))
    assert find_slips(workspace(), nowhere, clock=time.process_time, bounds=BOUNDS) is None


@pytest.mark.parametrize("name", ["prime-adult", "connect-va", "circuit-change"])
def test_the_looks_that_were_put_in_catch_most_fatal_slips(name: str) -> None:
    before, after = slips(before_the_looks(name)), slips(procedure(name))
    assert before.fatal_silent >= 10
    assert after.fatal_silent * 5 <= before.fatal_silent
    assert set(after.critical) < set(before.critical)


def answers(found: Procedure, where: Workspace) -> Answers:
    return answered(slips(found), found, where.unit, where.waivers, date(2026, 11, 28))


def unlooking(found: Procedure, name: str) -> Procedure:
    """The procedure without what this step expects or this hold waits for."""

    def unseeing(leaf: Step | Hold) -> Item:
        if leaf.id != name:
            return leaf
        return replace(leaf, expect=(), if_not=None) if isinstance(leaf, Step) else replace(leaf, until=())

    return replace(found, body=each_leaf(found.body, unseeing))


@pytest.mark.parametrize(("name", "look"), CATCHES)
def test_without_a_look_that_catches_more_is_silent_and_unanswered(name: str, look: str) -> None:
    found = procedure(name)
    before, after = answers(found, workspace()), answers(unlooking(found, look), workspace())
    assert after.report.fatal_silent > before.report.fatal_silent
    assert after.report.fatal_total >= before.report.fatal_total
    assert before.findings == ()
    assert {finding.rule for finding in after.findings} == {"critical-step-unanswered"}


LONG = ("zero-fluid-line",)


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(found.id, marks=pytest.mark.nightly if found.id in LONG else ())
        for found in workspace().procedures
        if not found.wording_only
    ],
)
def test_nothing_in_the_demo_is_unanswered(name: str) -> None:
    told = answers(procedure(name), workspace())
    assert told.report.undecided == 0
    assert told.findings == ()
    assert told.count(How.NOTHING) == 0
    assert told.count(How.WAIVED) == told.report.fatal_silent


def test_the_waivers_of_the_demo_end_one_day() -> None:
    found = procedure("connect-va")
    late = answered(slips(found), found, workspace().unit, workspace().waivers, date(2028, 7, 1))
    assert {finding.rule for finding in late.findings} == {"critical-step-unanswered", "slip-waiver-expired"}
