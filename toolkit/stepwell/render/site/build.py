"""Build the site of a workspace into an empty folder."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.language import ENGLISH, Language
from stepwell.model.workspace import Workspace
from stepwell.publish.build import build_sheet
from stepwell.publish.sheet import Sheet
from stepwell.publish.shelf import NOTHING_RELEASED, Shelf
from stepwell.publish.translated import in_language, language_of
from stepwell.quantities.sum_table import sums
from stepwell.render.site.bundles import FONT, SHEET, TOLD, bundles, loaded
from stepwell.render.site.drawn import Drawn, draw_all
from stepwell.render.site.environment import environment
from stepwell.render.site.languages import find_of, folder_of, home_of
from stepwell.render.site.later import later_href
from stepwell.render.site.library import Library
from stepwell.render.site.mkdocs_site import publish
from stepwell.render.site.one_file import card_style
from stepwell.render.site.overview_pages import overview
from stepwell.render.site.pages import later_scripts, render_pages
from stepwell.render.site.paths import card_href, slug
from stepwell.render.site.search_index import index_script, procedure_entry, rule_entry, sum_entry
from stepwell.render.site.speech import speech_of
from stepwell.render.site.sum_script import sums_script
from stepwell.render.site.worker import WORKER, worker_script
from stepwell.report.results import CheckReport, ProcedureReport
from stepwell.resources import data_dir
from stepwell.slips.answers import Answers
from stepwell.source.read_fixed_words import fixed_words

HEAVIEST_PAGE = 60 * 1024
"""Bytes that a page may weigh with its font, style and script; a phone on a ward's network has to load it in a moment."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteResult:
    """What was written: the paths of the pages, and findings about them (a page that is too heavy)."""

    pages: tuple[str, ...]
    findings: tuple[Finding, ...]


def build_site(
    workspace: Workspace,
    report: CheckReport,
    *,
    as_of: date,
    out: Path,
    shelf: Shelf = NOTHING_RELEASED,
    slips: Mapping[str, Answers] | None = None,
) -> SiteResult:
    """Write the site into ``out``, which is emptied. What is not in force on the ``shelf`` as it stands is a draft.

    ``slips`` are what single slips lead to, by procedure; None where they were not tried, which the pages then say.

    Raises OSError if the folder can't be written.
    """
    checked = {one.procedure: one for one in report.procedures}
    sheets = {one.id: one for one in _sheets(workspace, checked, as_of, shelf, ENGLISH)}
    drawn = draw_all(workspace, report, sheets, {name: slug(name) for name in sheets})
    source = data_dir("site_templates") / "site"
    library = Library(
        workspace=workspace,
        report=report,
        sheets=tuple(sheets.values()),
        tool=_tool(),
        as_of=as_of,
        drawn=drawn,
        shelf=shelf,
        card_style=card_style(source / "assets"),
        overview=overview(workspace, shelf, as_of, _tool()),
        codes=("en", *(code for code in workspace.unit.languages if code != "en")),
        slips=slips,
    )
    assets = _assets(source, library) | drawn.files | dict(library.overview.files)
    env = environment(source / "pages")
    pages = render_pages(library, env)
    assets |= later_scripts(library, env)
    for code in library.codes[1:]:
        there = _in_language(library, code)
        pages |= render_pages(there, env)
        assets |= {**there.overview.files, **later_scripts(there, env)}
        assets[f"assets/{find_of(code)}"] = _search(source, there)
    assets[WORKER] = worker_script(source / "worker", pages, assets, _kept(library, pages, assets))
    publish(pages, assets, name=workspace.unit.name, theme=source / "mkdocs", out=out, as_of=as_of)
    return SiteResult(
        pages=tuple(sorted(pages)),
        findings=(
            *_heavy({path: pages[path] for path in _of_procedures(library)}, assets, SHEET),
            *_heavy({path: pages[path] for path in pages if path.startswith(("check/", "slips/"))}, assets, TOLD),
        ),
    )


def _of_procedures(library: Library) -> list[str]:
    """The paths of the pages of procedures, in every language."""
    return [card_href(replace(sheet, language=code)) for code in library.codes for sheet in library.sheets]


def _kept(library: Library, pages: Mapping[str, str], assets: Mapping[str, bytes]) -> set[str]:
    """What a browser keeps after the first visit: first pages, emergencies, the question of cards, and what they load."""
    found = {path for path in assets if re.fullmatch(r"assets/(site|sheet|walk|find(-[A-Za-z0-9-]+)?)\.(css|js)", path)}
    found.add(f"assets/{FONT}")
    for code in library.codes:
        found |= {home_of(code), f"{folder_of(code)}offline.html", f"{folder_of(code)}about.html"}
        for sheet in (replace(one, language=code) for one in library.sheets if one.kind == "emergency"):
            found |= {card_href(sheet), later_href(sheet)}
    return found & (pages.keys() | assets.keys())


def _assets(source: Path, library: Library) -> dict[str, bytes]:
    folder = source / "assets"
    assets = bundles(folder, sums_script(sums()))
    assets["assets/find.js"] = _search(source, library)
    for name in ("minisearch.LICENSE.txt", "atkinson-hyperlegible-next.OFL.txt"):
        assets[f"assets/{name}"] = (source / "vendor" / name).read_bytes()
    return assets


def _search(source: Path, library: Library) -> bytes:
    """The search with its entries, in the language of the library."""
    language, folder = library.language, library.folder
    speech, words = speech_of(language.code), library.workspace.unit.word_list(language.code).synonyms
    entries = [procedure_entry(sheet, card_href(sheet), words, speech) for sheet in library.sheets]
    for rule in library.workspace.rules:
        href = f"{folder}rules/{slug(rule.name)}.html"
        entries.append(rule_entry(rule, href, words, language, speech))
    entries += [sum_entry(one, f"{folder}sums/{one.formula.name}.html", words, language, speech) for one in sums()]
    engine = (source / "vendor" / "minisearch.min.js").read_text(encoding="utf-8")
    search = (source / "assets" / "js" / "search.js").read_text(encoding="utf-8")
    return (engine + index_script(entries, speech) + search).encode()


def _in_language(library: Library, code: str) -> Library:
    """The library in another language. A page of it is released where its card was released in that language."""
    language = language_of(library.workspace, fixed_words(code))
    space = in_language(library.workspace, language)
    return replace(
        library,
        workspace=space,
        english=library.workspace,
        sheets=_sheets(space, library.reports, library.as_of, library.shelf, language),
        language=language,
        drawn=Drawn(),
        overview=overview(space, library.shelf, library.as_of, library.tool, language),
    )


def _sheets(
    space: Workspace, reports: Mapping[str, ProcedureReport], as_of: date, shelf: Shelf, language: Language
) -> tuple[Sheet, ...]:
    """The sheets of a workspace that is in this language."""
    cards = {one.id: shelf.card(one.id) for one in space.procedures}
    return tuple(
        build_sheet(
            space,
            one,
            reports.get(one.id),
            as_of,
            release=cards[one.id].mark_in(language.code),
            language=language,
            why=cards[one.id].told_in(language),
        )
        for one in space.procedures
    )


def _heavy(cards: Mapping[str, str], assets: Mapping[str, bytes], bundle: str) -> tuple[Finding, ...]:
    """Pages of procedures that are too heavy with what they load. Lists grow with the library, and no author could mend
    that, so they are not judged."""
    shared = sum(len(assets[path]) for path in loaded(bundle))
    return tuple(
        Finding(
            rule="page-too-heavy",
            code="ST001",
            severity=Severity.MINOR,
            message=f"The page {path} weighs {(shared + len(html.encode())) / 1024:.0f} KB with its font.",
            mend="Split the procedure; a phone takes long to load a page of more than 60 KB.",
        )
        for path, html in sorted(cards.items())
        if shared + len(html.encode()) > HEAVIEST_PAGE
    )


def _tool() -> str:
    try:
        return version("stepwell")
    except PackageNotFoundError:  # run from a checkout that was not installed
        return "(not installed)"
