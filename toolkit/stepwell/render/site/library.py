"""Everything that the pages of the site in one language are made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from stepwell.model.language import ENGLISH, Language
from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import Sheet
from stepwell.publish.shelf import Shelf
from stepwell.render.site.drawn import Drawn
from stepwell.render.site.languages import folder_of
from stepwell.render.site.one_file import CardStyle
from stepwell.render.site.overview_pages import Overview
from stepwell.render.site.paths import card_href
from stepwell.report.results import CheckReport, ProcedureReport
from stepwell.slips.answers import Answers


@dataclass(frozen=True, slots=True, kw_only=True)
class Library:
    """Everything that pages are made from. ``sheets`` and ``reports`` go by the procedure's id."""

    workspace: Workspace
    report: CheckReport
    sheets: tuple[Sheet, ...]
    tool: str
    as_of: date
    drawn: Drawn
    shelf: Shelf
    card_style: CardStyle
    overview: Overview
    language: Language = ENGLISH
    codes: tuple[str, ...] = ("en",)
    """Every language that the site is in."""
    slips: Mapping[str, Answers] | None = None
    """What single slips lead to, by procedure; None where that was not asked for."""
    english: Workspace | None = None
    """The workspace as it is written, where ``workspace`` is a translation of it."""

    @property
    def reports(self) -> Mapping[str, ProcedureReport]:
        """The reports by procedure."""
        return {report.procedure: report for report in self.report.procedures}

    @property
    def folder(self) -> str:
        """Where the pages about the unit stand, from the top of the site; those of procedures stand elsewhere."""
        return folder_of(self.language.code)

    @property
    def draft(self) -> bool:
        """Whether anything in it is a draft, or there is nothing."""
        return any(sheet.status.draft for sheet in self.sheets) or not self.sheets

    @property
    def card_hrefs(self) -> Mapping[str, str]:
        """The pages of procedures, from the top of the site."""
        return {sheet.id: card_href(sheet) for sheet in self.sheets}
