"""The calls from the command line into the layers below. Heavy layers are imported at the call, so that
help is quick."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from stepwell import __version__
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import Where
from stepwell.cli.select import chosen_findings, chosen_procedures
from stepwell.cli.side_by_side import side_by_side
from stepwell.diagnostics.finding import Finding, reading_order
from stepwell.report.keep import NOTHING_KEPT, Cache
from stepwell.report.results import CheckReport

if TYPE_CHECKING:
    from stepwell.model.procedure import Procedure
    from stepwell.model.workspace import Workspace
    from stepwell.publish.bound import Bound, Tool
    from stepwell.publish.sheet import Sheet
    from stepwell.publish.shelf import Shelf
    from stepwell.render.cards.render import CardResult
    from stepwell.render.sheets.press import SheetResult
    from stepwell.render.site.build import SiteResult
    from stepwell.slips.answers import Answers
    from stepwell.source.workspace import Loaded


def load(root: Path, console: Console) -> Loaded:
    """Read the unit's folder."""
    from stepwell.source.workspace import load_workspace

    console.progress("Reading the files ...")
    return load_workspace(root)


def check(
    where: Where, loaded: Loaded, as_of: date, console: Console, cache: Cache = NOTHING_KEPT, *, bites: bool = True
) -> CheckReport:
    """Check what was asked for; the report holds the findings of the input as well. ``bites``: with witnesses."""
    found = chosen_findings(where, loaded.findings)
    if loaded.workspace is None:
        return CheckReport(as_of=as_of, procedures=(), findings=in_order(found))
    chosen = chosen_procedures(where, loaded)
    from stepwell.report.check import Options, check_workspace

    wanted = len(loaded.workspace.procedures) if chosen is None else len(chosen)
    started: list[str] = []

    def progress(title: str) -> None:
        started.append(title)
        console.progress(f"Searching the orders of {title} ({len(started)} of {wanted}) ...")

    report = check_workspace(
        loaded.workspace,
        as_of=as_of,
        clock=monotonic,
        procedures=chosen,
        progress=progress,
        findings=found,
        options=Options(bites=bites),
        cache=cache,
    )
    return replace(report, findings=in_order(report.findings))


def slips(
    report: CheckReport, workspace: Workspace | None, console: Console, cache: Cache = NOTHING_KEPT
) -> tuple[Answers, ...]:
    """What single slips lead to and what answers for them, for every procedure whose order was checked."""
    from stepwell.slips.answers import answered
    from stepwell.slips.find import slips_of

    found: list[Answers] = []
    if workspace is None:
        return ()
    checked = {entry.procedure for entry in report.procedures if entry.checked}
    for procedure in workspace.procedures:
        if procedure.id in checked:
            console.progress(f"Trying single slips in {procedure.title} ...")
            entry = slips_of(workspace, procedure, clock=monotonic, cache=cache)
            if entry is not None:
                found.append(answered(entry, procedure, workspace.unit, workspace.waivers, report.as_of))
    return tuple(found)


def with_slips(report: CheckReport, workspace: Workspace | None, slips: tuple[Answers, ...]) -> CheckReport:
    """The report with what is to be answered for in slips, and in waivers of slips where there are none."""
    from stepwell.slips.answers import unused_for

    asked = {entry.procedure: entry.checked for entry in report.procedures}
    waivers = () if workspace is None else workspace.waivers
    lost = unused_for([one for one in waivers if one.slip is not None and not asked.get(one.procedure, True)])
    found = (*report.findings, *(finding for one in slips for finding in one.findings), *lost)
    return replace(report, findings=in_order(found))


def without_accepted(where: Where, workspace: Workspace | None, report: CheckReport, accept: str | None) -> CheckReport:
    """The report without what the unit has accepted. ``accept`` is the role that accepts what is found now, if one does.

    Raises UsageProblem for a role that the unit does not have.
    """
    from stepwell.report.accepted import accepting
    from stepwell.report.accepted import without_accepted as left_out
    from stepwell.source.accepted_file import FILE, accepted_text
    from stepwell.source.near import did_you_mean
    from stepwell.source.write import write_aside

    if workspace is None:
        return report
    entries = workspace.accepted
    if accept is not None:
        roles = [role.id for role in workspace.unit.roles]
        if accept not in roles:
            raise UsageProblem(f"The unit has no role {accept!r}.", did_you_mean(accept, roles, what="Its roles are"))
        entries = accepting(report, workspace.accepted, accept, report.as_of)
        write_aside(where.root / FILE, accepted_text(entries).encode())
    found = left_out(report, entries)
    return replace(found, findings=in_order(found.findings))


def in_order(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings in reading order, each once."""
    return tuple(sorted(dict.fromkeys(findings), key=reading_order))


def sheets(
    workspace: Workspace,
    report: CheckReport,
    as_of: date,
    language: str = "en",
    only: Collection[str] | None = None,
    shelf: Shelf | None = None,
) -> tuple[Sheet, ...]:
    """One sheet per procedure of the workspace (or of those in ``only``), whether its order was checked or not.

    All are drafts, but for those that are in force on the ``shelf`` as they stand.
    """
    from stepwell.publish.build import build_sheet
    from stepwell.publish.shelf import NOTHING_RELEASED
    from stepwell.publish.translated import in_language, language_of
    from stepwell.source.read_fixed_words import fixed_words

    checked = {entry.procedure: entry for entry in report.procedures}
    said = language_of(workspace, fixed_words(language))
    space = in_language(workspace, said)
    wanted = [one for one in space.procedures if only is None or one.id in only]
    cards = {one.id: (shelf or NOTHING_RELEASED).card(one.id) for one in wanted}
    return tuple(
        build_sheet(
            space,
            one,
            checked.get(one.id),
            as_of,
            release=cards[one.id].mark_in(language),
            language=said,
            why=cards[one.id].told_in(said),
        )
        for one in wanted
    )


def card(sheet: Sheet, as_of: date, workspace: Workspace, report: CheckReport, cache: Cache = NOTHING_KEPT) -> CardResult:
    """The PDF of one sheet, with what its pages break of the page rules."""
    from stepwell.render.cards.keep import card_of

    return card_of(sheet, as_of, workspace, report, cache)


def small_card(sheet: Sheet, as_of: date, workspace: Workspace, report: CheckReport, cache: Cache) -> CardResult:
    """The same on A5, of the draft of an emergency card. Raises ValueError for any other sheet."""
    from stepwell.render.cards.keep import card_of
    from stepwell.render.cards.paper import A5

    return card_of(sheet, as_of, workspace, report, cache, paper=A5)


def beside(
    workspace: Workspace,
    report: CheckReport,
    sorts: Collection[str],
    as_of: date,
    console: Console,
    tried: tuple[Answers, ...] = (),
    language: str = "en",
) -> Iterator[SheetResult]:
    """The PDFs of the sheets beside the cards, of the sorts that were asked for, in a language of the unit.

    ``tried`` are what single slips lead to; only trainers' sheets tell it.
    """
    from stepwell.publish.translated import in_language, language_of
    from stepwell.render.sheets.make import Source, documents
    from stepwell.render.sheets.press import press
    from stepwell.source.read_fixed_words import fixed_words

    source = Source(
        workspace=workspace,
        report=report,
        sheets=sheets(workspace, report, as_of),
        slips={entry.report.procedure: entry for entry in tried},
        as_of=as_of,
    )
    said = language_of(workspace, fixed_words(language))
    if not said.english:
        source = replace(
            source,
            workspace=in_language(workspace, said),
            sheets=sheets(workspace, report, as_of, language),
            language=said,
            in_english=source,
        )
    wanted = tuple(documents(source, sorts))
    for document, pressed in zip(wanted, side_by_side(partial(press, as_of=as_of), wanted), strict=True):
        console.progress(f"Laid out {document.sort_words.lower()}: {document.title}")
        yield pressed


def bound(workspace: Workspace, procedure: Procedure, report: CheckReport, sheet: Sheet) -> Bound:
    """What an approval of this procedure is bound to."""
    return bounds(workspace, report, (sheet,))[procedure.id]


def bounds(workspace: Workspace, report: CheckReport, these: Collection[Sheet]) -> dict[str, Bound]:
    """What an approval of each of these English sheets is bound to, by procedure."""
    from stepwell.publish.bound import bound as bound_to

    by_id = {procedure.id: procedure for procedure in workspace.procedures}
    checked = {entry.procedure: entry for entry in report.procedures}
    names = {sheet.id for sheet in these}
    others = [code for code in workspace.unit.languages if code != "en" and names]
    translated = [one for code in others for one in sheets(workspace, report, report.as_of, code, names)]
    rigs = {code: {rig.id: rig for rig in in_language(workspace, code).rigs} for code in others}
    tool = present_tool()
    return {
        sheet.id: bound_to(
            workspace,
            by_id[sheet.id],
            checked.get(sheet.id),
            sheet,
            tool,
            [one for one in translated if one.id == sheet.id],
            {code: rigs[code].get(sheet.rig.id) for code in others},
        )
        for sheet in these
    }


def in_language(workspace: Workspace, code: str) -> Workspace:
    """The workspace with its texts in a language of the unit."""
    from stepwell.publish.translated import in_language as told_in
    from stepwell.publish.translated import language_of
    from stepwell.source.read_fixed_words import fixed_words

    return told_in(workspace, language_of(workspace, fixed_words(code)))


def present_tool() -> Tool:
    """This tool: its version, its rules, its layout."""
    from importlib.metadata import version

    from stepwell.publish.bound import Tool
    from stepwell.render.cards.template_files import template_files
    from stepwell.source.catalogue_files import catalogue_files

    return Tool(
        version=f"stepwell {__version__}, typst {version('typst')}",
        catalogue=catalogue_files(),
        template=template_files(),
    )


def shelf(root: Path, workspace: Workspace, report: CheckReport, as_of: date) -> Shelf:
    """What the unit's ledger says of its cards on a day."""
    from stepwell.ledger.standing import standing
    from stepwell.ledger.store import kept_card, read_ledger
    from stepwell.publish.shelf_of_ledger import shelf_of

    today = standing(read_ledger(root), kinds_of(workspace), as_of)
    names = {release.subject for release in today.releases}
    now = bounds(workspace, report, sheets(workspace, report, as_of, only=names))
    found = [(release, language) for release in today.releases for language in release.languages]
    lost = {(one.entry, language) for one, language in found if kept_card(root, one, language) is None}
    return shelf_of(today, workspace.unit, now, lost)


def released_cards(root: Path, workspace: Workspace, released: Collection[Sheet], as_of: date) -> dict[str, bytes]:
    """The bytes of the card in force, in the language of each of these released sheets, as they were kept; by procedure.

    Raises RuntimeError if there is no such card: then the sheet has a mark that it must not have.
    """
    from stepwell.ledger.standing import standing
    from stepwell.ledger.store import kept_card, read_ledger

    if not released:
        return {}
    today = standing(read_ledger(root), kinds_of(workspace), as_of)
    cards: dict[str, bytes] = {}
    for sheet in released:
        release = today.in_force(sheet.id)
        found = None if release is None else kept_card(root, release, sheet.language)
        if found is None:
            raise RuntimeError(f"no card of {sheet.id} in the language {sheet.language} was kept")
        cards[sheet.id] = found
    return cards


def with_ledger(root: Path, workspace: Workspace, report: CheckReport, as_of: date) -> CheckReport:
    """The report with what the unit's ledger has to answer for: reviews overdue, old cards that hang, entries altered."""
    from stepwell.ledger.recall import due_problems
    from stepwell.ledger.standing import standing
    from stepwell.ledger.store import folder_of, read_ledger

    if not folder_of(root).is_dir():
        return report
    today = standing(read_ledger(root), kinds_of(workspace), as_of)
    problems = (*today.problems, *due_problems(today, workspace.unit.places, as_of))
    return replace(report, findings=in_order((*report.findings, *(problem.finding() for problem in problems))))


def kinds_of(workspace: Workspace) -> dict[str, str]:
    """The kind of every procedure, which decides its quorum."""
    return {procedure.id: procedure.kind.value for procedure in workspace.procedures}


def site(
    root: Path,
    workspace: Workspace,
    report: CheckReport,
    as_of: date,
    out: Path,
    tried: tuple[Answers, ...] | None = None,
) -> SiteResult:
    """The site, into the folder ``out``, with a page for every version that was released. ``tried``: what single slips
    lead to; None if that was not asked for."""
    from stepwell.cli.kept_cards import kept_cards
    from stepwell.render.site.build import build_site
    from stepwell.render.site.versions import version_pages

    there = shelf(root, workspace, report, as_of)
    by_id = None if tried is None else {entry.report.procedure: entry for entry in tried}
    made = build_site(workspace, report, as_of=as_of, out=out, shelf=there, slips=by_id)
    pages = version_pages(kept_cards(root, workspace, as_of), as_of, there.trouble)
    for name, text in pages.items():
        path = out / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    return replace(made, pages=tuple(sorted((*made.pages, *pages))))
