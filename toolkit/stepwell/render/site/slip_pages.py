"""The pages about slips: one for each procedure, and the list of all. They are there even where no slip was tried, and
then say so: a page that is missing would pass for a procedure without slips."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

from stepwell.publish.sheet import Sheet
from stepwell.render.site.bundles import TOLD
from stepwell.render.site.library import Library
from stepwell.render.site.page import Page
from stepwell.render.site.paths import slug
from stepwell.render.site.slip_words import SlipRow, SlipTeller, ToldSlips, headline
from stepwell.report.results import Status
from stepwell.slips.answers import Answers


def slips_page(library: Library) -> Page:
    """The list of all procedures with their counts."""
    say = partial(library.language.say, "site")
    tried = library.slips or {}
    rows = []
    for sheet in library.sheets:
        told = (
            headline((tried[sheet.id],), library.language) if sheet.id in tried else (_not_tried(sheet, library), (), True)
        )
        rows.append(
            SlipRow(title=sheet.title, href=f"slips/{slug(sheet.id)}.html", headline=told[0], more=told[1], bad=told[2])
        )
    said, more, bad = headline(tried.values(), library.language) if tried else (_not_tried(None, library), (), True)
    left = sum(sheet.id not in tried for sheet in library.sheets)
    if tried and left:
        more, bad = (*more, say("Procedures in which no slip could be tried: {count}.", count=str(left))), True
    context: dict[str, object] = {"rows": rows, "headline": said, "more": more, "bad": bad}
    return "slips.html", "slips.html", {"title": say("What single slips lead to")}, context


def slip_pages(sheet: Sheet, marks: Mapping[str, str], page: Mapping[str, object], library: Library) -> Iterator[Page]:
    """The page of one procedure. ``marks`` are the printed numbers of its lines."""
    answers = (library.slips or {}).get(sheet.id)
    if answers is None:
        told = ToldSlips(bad=True, headline=_not_tried(sheet, library), more=())
    else:
        told = _teller(answers, sheet, marks, library).tell()
    report = library.reports.get(sheet.id)
    broken = sum(verdict.status is Status.VIOLATED for verdict in report.verdicts) if report else 0
    title = library.language.say("site", "What single slips lead to: {title}", title=sheet.title)
    context: dict[str, object] = {
        "sheet": sheet,
        "slug": slug(sheet.id),
        "told": told,
        "tried": answers is not None,
        "broken": broken,
    }
    yield f"{library.folder}slips/{slug(sheet.id)}.html", "slip.html", {**page, "title": title, "bundle": TOLD}, context


def _not_tried(sheet: Sheet | None, library: Library) -> str:
    """Why there is nothing to tell; that is never a sign of safety."""
    say = partial(library.language.say, "site")
    if library.slips is None:
        return say("Single slips were not tried for this copy. That is no sign of safety.")
    report = None if sheet is None else library.reports.get(sheet.id)
    if sheet is None or (report is not None and report.checked):
        return say("No single slip could be tried. That is no sign of safety.")
    return say("No slip could be tried: the order of this procedure was not checked. That is no sign of safety.")


def _teller(answers: Answers, sheet: Sheet, marks: Mapping[str, str], library: Library) -> SlipTeller:
    written = library.english or library.workspace
    shown = next((rig for rig in library.workspace.rigs if rig.id == sheet.rig.id), None)
    return SlipTeller(
        answers=answers,
        sheet=sheet,
        marks=marks,
        rules={rule.name: rule for rule in library.workspace.rules},
        rig=next((rig for rig in written.rigs if rig.id == sheet.rig.id), None),
        labels={part.id: part.label for part in shown.parts} if shown else {},
        language=library.language,
    )
