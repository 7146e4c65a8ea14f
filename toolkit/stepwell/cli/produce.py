"""What ``cards``, ``site`` and ``build`` share: check, make, put in place, report."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Collection
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from stepwell.cli import layers, options
from stepwell.cli.cache import cache_of
from stepwell.cli.console import Console
from stepwell.cli.locate import Where, locate_unit
from stepwell.cli.place import mark, place_folder
from stepwell.cli.side_by_side import side_by_side
from stepwell.cli.today import today
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Kind
from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import Sheet
from stepwell.render.text.check_report import render_check, render_findings
from stepwell.render.text.look import Look
from stepwell.report.keep import NOTHING_KEPT, Cache
from stepwell.report.results import CheckReport
from stepwell.source.files import shown

if TYPE_CHECKING:
    from stepwell.render.cards.render import CardResult
    from stepwell.slips.answers import Answers

REPORT_NAME = "report.txt"
SORTS = ("kit", "trainer", "inspection", "index", "labels")
"""Sorts of sheets beside the cards."""


@dataclass(slots=True, kw_only=True)
class Job:
    """One making: the unit's folder, what is made from, and the findings and counts that come up on the way."""

    root: Path
    workspace: Workspace
    report: CheckReport
    as_of: date
    console: Console
    cache: Cache = NOTHING_KEPT
    slips: bool = True
    """Whether the site is to say what single slips lead to; without it its pages say that none was tried."""
    findings: list[Finding] = field(default_factory=list)
    made: list[str] = field(default_factory=list)
    _tried: tuple[Answers, ...] | None = field(default=None, init=False)

    def tried(self) -> tuple[Answers, ...]:
        """What single slips lead to. They are tried once, whatever is made of them: trainers' sheets and the site."""
        if self._tried is None:
            self._tried = layers.slips(self.report, self.workspace, self.console, self.cache)
        return self._tried


Maker = Callable[[Job, Path], None]


def add_options(parser: argparse.ArgumentParser, out: str) -> None:
    """The options of a verb that makes something."""
    options.add_unit(parser)
    options.add_out(parser, out)
    options.add_as_of(parser)
    options.add_fail_on(parser)
    options.add_cache(parser)


def produce(args: argparse.Namespace, console: Console, make: Maker) -> int:
    """Check the unit, let ``make`` fill the folder of ``--out``, print what was found, and return the exit
    code.

    Unusable input makes nothing: a folder with a card missing would pass for a whole one.
    """
    # Absolute, because the builder of the site takes relative paths from a folder of its own.
    root, out, as_of = locate_unit(args.workspace), Path(args.out).absolute(), args.as_of or today()
    loaded = layers.load(root, console)
    cache = cache_of(args.cache, args.no_cache, os.environ)
    report = layers.check(Where(root=root), loaded, as_of, console, cache)
    if loaded.workspace is None or any(finding.unusable for finding in report.findings):
        console.write(render_findings(report, console.look, threshold=args.fail_on))
        console.note(f"Nothing was written to {shown(out)}: some of the input could not be read.")
        return report.exit_code(args.fail_on)
    job = Job(root=root, workspace=loaded.workspace, report=report, as_of=as_of, console=console, cache=cache)
    job.slips = not getattr(args, "no_slips", False)
    place_folder(out, root, lambda aside: make(job, aside))
    whole = replace(report, findings=layers.in_order((*report.findings, *job.findings)))
    console.write(render_findings(whole, console.look, threshold=args.fail_on))
    console.note(f"Wrote {' and '.join(job.made)} to {shown(out)}.")
    return whole.exit_code(args.fail_on)


def make_cards(job: Job, folder: Path, language: str = "en") -> None:
    """One PDF per procedure into ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    sheets, released = _drafts_besides_released(job, folder, language)

    def lay_out(sheet: Sheet) -> CardResult:
        return layers.card(sheet, job.as_of, job.workspace, job.report, job.cache)

    job.console.progress(f"Laying out {_cards(len(sheets), language)} ...")
    for number, (sheet, card) in enumerate(zip(sheets, side_by_side(lay_out, sheets), strict=True), start=1):
        job.console.progress(f"Laid out card {number} of {len(sheets)}: {sheet.title}")
        (folder / f"{sheet.id}.pdf").write_bytes(card.pdf)
        job.findings.extend(_in_language(card.findings, language))
        _tell_english(sheet, job)
    mark(folder)
    said = f" ({released} as released)" if released else ""
    job.made.append(_cards(len(sheets) + released, language) + said)


def _drafts_besides_released(job: Job, folder: Path, language: str) -> tuple[tuple[Sheet, ...], int]:
    """The sheets that are drafts; how many cards in force were put into ``folder`` for the others, as they were kept.

    Nothing but a release lays out an unmarked card, so the bytes are those that were released and no others.
    """
    shelf = layers.shelf(job.root, job.workspace, job.report, job.as_of)
    sheets = layers.sheets(job.workspace, job.report, job.as_of, language, shelf=shelf)
    cards = layers.released_cards(job.root, job.workspace, [one for one in sheets if one.release is not None], job.as_of)
    for name, card in cards.items():
        (folder / f"{name}.pdf").write_bytes(card)
    return tuple(sheet for sheet in sheets if sheet.release is None), len(cards)


def make_small_cards(job: Job, folder: Path, language: str = "en") -> None:
    """One side of A5 for each emergency card that passes there by the rules of A4; a card that does not is not written."""
    folder.mkdir(parents=True, exist_ok=True)
    # Drafts always: a release vouches for the bytes of the A4 card alone.
    sheets = layers.sheets(job.workspace, job.report, job.as_of, language)
    emergencies = [sheet for sheet in sheets if sheet.kind == Kind.EMERGENCY.value]
    written = 0
    for number, sheet in enumerate(emergencies, start=1):
        job.console.progress(f"Laying out card {number} of {len(emergencies)} on A5: {sheet.title}")
        card = layers.small_card(sheet, job.as_of, job.workspace, job.report, job.cache)
        refused = any(one.severity > Severity.MINOR for one in card.findings)
        # Nothing is said of the type of a page that is not there.
        told = tuple(one for one in card.findings if not refused or one.severity > Severity.MINOR)
        job.findings.extend(replace(one, message=f"On A5: {one.message}") for one in _in_language(told, language))
        if refused:
            job.console.note(f"{sheet.id} is not written on A5.")
            continue
        (folder / f"{sheet.id}-a5.pdf").write_bytes(card.pdf)
        written += 1
        _tell_english(sheet, job)
    mark(folder)
    job.made.append(f"{_cards(written, language)} on A5 (of {len(emergencies)} for emergencies)")


def _cards(count: int, language: str) -> str:
    said = "" if language == "en" else f" in the language {language}"
    return ("1 card" if count == 1 else f"{count} cards") + said


def _in_language(findings: tuple[Finding, ...], language: str) -> tuple[Finding, ...]:
    which = "" if language == "en" else f"Printed in the language {language}: "
    return tuple(replace(one, message=which + one.message) for one in findings)


def other_languages(job: Job) -> tuple[str, ...]:
    """The languages of the unit besides English."""
    return tuple(code for code in job.workspace.unit.languages if code != "en")


def _tell_english(sheet: Sheet, job: Job) -> None:
    if sheet.in_english:
        job.console.note(f"{sheet.id} ({sheet.language}): {_stand(sheet.in_english)} in English, and the card says so.")


def _stand(count: int) -> str:
    return "1 line stands" if count == 1 else f"{count} lines stand"


def make_sheets(job: Job, folder: Path, sorts: Collection[str] = SORTS, language: str = "en") -> None:
    """The sheets beside the cards, a folder for each sort, into ``folder``."""
    number = 0
    which = "" if language == "en" else f"Printed in the language {language}: "
    tried = job.tried() if "trainer" in sorts else ()
    for sheet in layers.beside(job.workspace, job.report, sorts, job.as_of, job.console, tried, language):
        path = folder / sheet.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(sheet.pdf)
        job.findings.extend(replace(one, message=which + one.message) for one in sheet.findings)
        if sheet.in_english:
            job.console.note(f"{sheet.path} ({language}): {_stand(sheet.in_english)} in English, and the sheet says so.")
        number += 1
    if number:
        mark(folder)
        said = "" if language == "en" else f" in the language {language}"
        job.made.append(("1 sheet" if number == 1 else f"{number} sheets") + said)


def make_site(job: Job, folder: Path) -> None:
    """The site into ``folder``."""
    tried = job.tried() if job.slips else None
    job.console.progress("Building the site ...")
    job.findings.extend(layers.site(job.root, job.workspace, job.report, job.as_of, folder, tried).findings)
    mark(folder)
    job.made.append("the site")


def make_report(job: Job, folder: Path) -> None:
    """The report of the check, and of the pages, as a text file into ``folder``."""
    whole = replace(job.report, findings=layers.in_order((*job.report.findings, *job.findings)))
    text = render_check(whole, Look(width=100))
    (folder / REPORT_NAME).write_text(text, encoding="utf-8", newline="\n")
    job.made.append("the report")
