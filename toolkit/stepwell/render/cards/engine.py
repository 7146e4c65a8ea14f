"""The typesetter: vendored fonts and template only, nothing from the system, nothing from the network."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

import typst

from stepwell.publish.canonical import Plain
from stepwell.render.cards.facts import QUERY, Layout, read_layout
from stepwell.render.cards.fonts import FontFacts, read_font
from stepwell.render.cards.pack import PackError, packed
from stepwell.resources import data_dir

STANDARDS: list[typst.PDFStandard] = ["a-2a", "ua-1"]
MAIN_FONT = "AtkinsonHyperlegibleNext_400Regular.ttf"


class EngineError(RuntimeError):
    """The template or the engine failed on data that it should lay out: a fault of the tool, never of the author."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """Fonts and template, loaded once. ``main_font`` are the facts of the face that lines are set in."""

    template: Path
    fonts: typst.Fonts
    main_font: FontFacts
    characters: frozenset[int]

    def open(self, sheet: Plain, page: Plain) -> Draft:
        """A card with its data, to be asked for its layout or exported."""
        inputs = {"sheet": json.dumps(sheet, ensure_ascii=False), "page": json.dumps(page, ensure_ascii=False)}
        return Draft(
            typst.Compiler(
                str(self.template),
                root=str(self.template.parent),
                font_paths=self.fonts,
                ignore_system_fonts=True,
                sys_inputs=inputs,
            )
        )


class Draft:
    """One attempt at a layout."""

    def __init__(self, compiler: typst.Compiler) -> None:
        self._compiler = compiler

    def layout(self) -> Layout:
        """Where everything lies."""
        try:
            return read_layout(self._compiler.eval(QUERY))
        except RuntimeError as error:
            raise EngineError(_told(error)) from error

    def pdf(self, day: date) -> bytes:
        """The card as PDF/A-2a and PDF/UA-1, the same bytes every time. A warning of the engine counts as an error."""
        stamp = datetime(day.year, day.month, day.day, tzinfo=UTC)
        try:
            data, warnings = self._compiler.compile_with_warnings(format="pdf", pdf_standards=STANDARDS, timestamp=stamp)
        except RuntimeError as error:
            raise EngineError(_told(error)) from error
        if warnings or not isinstance(data, bytes):
            raise EngineError("; ".join(warning.message for warning in warnings) or "no PDF came out")
        try:
            return packed(data)
        except PackError as error:
            raise EngineError(f"the PDF can't be made smaller: {error}") from error


def _told(error: RuntimeError) -> str:
    # Errors of a compilation carry a diagnostic with the place; errors of a query do not.
    return str(getattr(error, "diagnostic", "") or error)


@cache
def default_engine() -> Engine:
    """The engine with what ships with the tool."""
    templates = data_dir("site_templates")
    # Sorted, because the order of a folder differs from one file system to the next.
    files = sorted((templates / "fonts").glob("*.ttf"))
    facts = {path.name: read_font(path) for path in files}
    return Engine(
        template=templates / "card" / "card.typ",
        fonts=typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(templates / "fonts")]),
        main_font=facts[MAIN_FONT],
        characters=_shown(facts),
    )


def _shown(facts: dict[str, FontFacts]) -> frozenset[int]:
    """Characters that some family shows in every weight it is vendored in."""
    families: dict[str, frozenset[int]] = {}
    for name, font in facts.items():
        family = name.partition("_")[0]
        families[family] = families.get(family, font.characters) & font.characters
    return frozenset().union(*families.values())
