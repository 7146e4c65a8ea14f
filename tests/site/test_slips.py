"""The pages about slips: what they say is what was searched, and where nothing was searched they say that."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from time import monotonic

import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import steps_of
from stepwell.model.workspace import Workspace
from stepwell.publish.numbering import marks_of
from stepwell.render.site.build import build_site
from stepwell.report.results import CheckReport, Orders, ProcedureReport, Status, Verdict
from stepwell.slips.answers import Answers, How, answered
from stepwell.slips.find import find_slips
from stepwell.slips.results import Outcome
from tests import demo
from tests.publish.bench import AS_OF
from tests.site.test_german import text_of

NAME = "connect-va"


@cache
def space() -> Workspace:
    """The demo with one procedure."""
    whole = demo.workspace()
    return replace(whole, procedures=tuple(one for one in whole.procedures if one.id == NAME))


@cache
def found(*, waived: bool = True) -> Answers:
    """Its slips, with or without the unit's waivers."""
    whole, procedure = demo.workspace(), space().procedures[0]
    report = find_slips(whole, procedure, clock=monotonic)
    assert report is not None
    return answered(report, procedure, whole.unit, whole.waivers if waived else (), AS_OF)


def report() -> CheckReport:
    procedure = space().procedures[0]
    told = ProcedureReport(
        procedure=NAME, title=procedure.title, checked=True, orders=None, states=0, verdicts=(), findings=()
    )
    return CheckReport(as_of=AS_OF, procedures=(told,), findings=())


def built(out: Path, slips: dict[str, Answers] | None, checked: CheckReport | None = None) -> Path:
    build_site(space(), checked or report(), as_of=AS_OF, out=out, slips=slips)
    return out


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(tmp_path_factory.mktemp("slips") / "out", {NAME: found()})


def block(path: Path, heading: str) -> str:
    """The text below a heading, to the next one."""
    parts = re.split(r"<h2>", path.read_text(encoding="utf-8"))
    (part,) = [one for one in parts if one.startswith(heading)]
    return " ".join(re.sub(r"<[^>]+>", " ", part).split())


def test_the_count_is_that_of_the_search(folder: Path) -> None:
    searched = found().report
    said = f"Fatal slips that nothing in the model catches: {searched.fatal_silent} of {searched.fatal_total}."
    assert searched.fatal_silent
    for path in (f"slips/{NAME}.html", "slips.html"):
        assert said in text_of(folder / path)


def test_each_unnoticed_slip_stands_with_its_step_its_harm_and_who_answers(folder: Path) -> None:
    page, procedure = folder / "slips" / f"{NAME}.html", space().procedures[0]
    marks, rules = marks_of(procedure.body), {rule.name: rule for rule in space().rules}
    fatal, other = block(page, "Fatal harm that nothing notices"), block(page, "Lesser harm that nothing notices")
    silent = [slip for slip in found().report.slips if slip.outcome is Outcome.SILENT]
    assert {slip.fatal_silent for slip in silent} == {True, False}
    for slip in silent:
        where = fatal if slip.fatal_silent else other
        assert f"Step {marks[slip.step]} " in where
        assert slip.rule is not None
        assert rules[slip.rule].title in where
        assert rules[slip.rule].harm in where
        answer = found().answer(slip)
        for words in answer.waivers if answer else ():
            assert f"Waived by {words}" in " ".join(where.split())
    assert fatal.count("Nothing in the model notices it.") == sum(slip.fatal_silent for slip in silent)
    assert other.count("Nothing in the model notices it.") == sum(not slip.fatal_silent for slip in silent)
    assert all(f"Step {marks[step.id]} " in text_of(page) for step in steps_of(procedure.body) if step.do)


def test_what_nobody_answered_for_is_said(tmp_path: Path) -> None:
    bare = found(waived=False)
    assert bare.count(How.NOTHING)
    page = built(tmp_path, {NAME: bare}) / "slips" / f"{NAME}.html"
    assert f"Not answered for: {bare.count(How.NOTHING)}." in text_of(page)
    assert "Nobody has answered for it." in block(page, "Fatal harm that nothing notices")
    assert '<p class="verdict bad">' in page.read_text(encoding="utf-8")


def test_a_slip_that_was_not_decided_is_never_left_out(tmp_path: Path) -> None:
    searched = found().report
    first = next(slip for slip in searched.slips if slip.outcome is Outcome.HARMLESS)
    silent = next(slip for slip in searched.slips if slip.fatal_silent)
    changed = {first: replace(first, outcome=Outcome.UNDECIDED), silent: replace(silent, cut_short=True)}
    slips = tuple(changed.get(slip, slip) for slip in searched.slips)
    page = built(tmp_path, {NAME: replace(found(), report=replace(searched, slips=slips))}) / "slips" / f"{NAME}.html"
    text = text_of(page)
    assert "Slips not decided: 2." in text
    assert "Not decided: the search was stopped before its end." in block(page, "Not decided")
    assert "so there may be worse" in block(page, "Fatal harm that nothing notices")
    assert '<p class="verdict bad">' in page.read_text(encoding="utf-8")


@pytest.mark.parametrize(("slips", "said"), [(None, "Single slips were not tried for this copy."), ({}, "No single slip")])
def test_where_nothing_was_tried_the_pages_say_so(tmp_path: Path, slips: dict[str, Answers] | None, said: str) -> None:
    out = built(tmp_path, slips)
    for path in (f"slips/{NAME}.html", "slips.html"):
        text = text_of(out / path)
        assert said in text
        assert "That is no sign of safety." in text
        assert "No such slip was found" not in text
    empty = built(tmp_path / "b", {}, CheckReport(as_of=AS_OF, procedures=(), findings=()))
    assert "the order of this procedure was not checked" in text_of(empty / "slips" / f"{NAME}.html")


def test_in_german_the_same_slips_are_told(folder: Path) -> None:
    searched = found().report
    text = text_of(folder / "de" / "pages" / "slips" / f"{NAME}.html")
    assert f"Tödliche Versehen, die im Modell nichts auffängt: {searched.fatal_silent} von {searched.fatal_total}." in text
    assert text.count("Im Modell bemerkt es nichts.") == sum(slip.outcome is Outcome.SILENT for slip in searched.slips)
    assert "[EN]" not in text, "every part that was mistaken bears its German label"


def test_where_none_was_found_but_some_were_not_decided_it_is_not_said_that_there_is_none(tmp_path: Path) -> None:
    searched = found().report
    slips = tuple(
        replace(slip, outcome=Outcome.UNDECIDED, severity=None) if slip.fatal_silent else slip for slip in searched.slips
    )
    page = built(tmp_path, {NAME: replace(found(), report=replace(searched, slips=slips))}) / "slips" / f"{NAME}.html"
    said = block(page, "Fatal harm that nothing notices")
    assert "None was found, but some slips were not decided" in said
    assert "No such slip was found" not in said


def test_harm_that_the_procedure_does_by_itself_is_told_of(tmp_path: Path) -> None:
    rule = next(rule for rule in space().rules if rule.severity is Severity.FATAL)
    broken = Verdict(
        procedure=NAME, rule=rule.name, code=rule.code, title=rule.title, sentence="", severity=rule.severity,
        status=Status.VIOLATED, orders=Orders(number=1, exact=True), rig="", rig_version="", inspected=None,
    )  # fmt: skip
    told = replace(report(), procedures=(replace(report().procedures[0], verdicts=(broken,)),))
    text = text_of(built(tmp_path, {NAME: found()}, told) / "slips" / f"{NAME}.html")
    assert "The procedure breaks rules even without a slip: 1." in text


def test_the_sum_says_how_many_procedures_are_not_in_it(tmp_path: Path) -> None:
    whole = demo.workspace()
    two = replace(whole, procedures=tuple(one for one in whole.procedures if one.id in (NAME, "hand-over")))
    build_site(two, report(), as_of=AS_OF, out=tmp_path, slips={NAME: found()})
    assert "Procedures in which no slip could be tried: 1." in text_of(tmp_path / "slips.html")
