"""From a sheet's blocks to its PDF, with what its pages have to answer for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.publish.canonical import Plain, plain_data
from stepwell.render.cards.clean import Cleaner
from stepwell.render.cards.engine import Draft, Engine, default_engine
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import DRAFT_WORDS
from stepwell.render.sheets.document import Document
from stepwell.resources import data_dir

_WHOLE = {"row": "line", "picture": "drawing", "entry": "entry", "label": "label"}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetResult:
    """``pdf`` is PDF/A-2a and PDF/UA-1; ``path`` is where it is put below the folder of all sheets."""

    path: str
    pdf: bytes
    pages: int
    findings: tuple[Finding, ...]


@cache
def sheet_engine() -> Engine:
    """The cards' engine and fonts with the sheets' template."""
    cards = default_engine()
    template = data_dir("site_templates") / "sheets" / "sheet.typ"
    return Engine(template=template, fonts=cards.fonts, main_font=cards.main_font, characters=cards.characters)


def press(document: Document, *, as_of: date) -> SheetResult:
    """Lay out a sheet. Faults of its pages are returned as findings; raises EngineError if the tool itself fails."""
    engine = sheet_engine()
    cleaner = Cleaner(characters=engine.characters)
    # A square code's own SVG holds no author's text and needs its bytes as they are.
    blocks = [_clean(cleaner, plain_data(block)) for block in document.blocks]
    draft, layout = _largest(engine, document, {"blocks": blocks}, cleaner.clean(_page(document, as_of)))
    found = (*_findings(document, layout), *cleaner.findings(document.procedure or document.id))
    return SheetResult(path=document.path, pdf=draft.pdf(as_of), pages=layout.pages, findings=found)


def _largest(engine: Engine, document: Document, blocks: Plain, page: Plain) -> tuple[Draft, Layout]:
    """The layout in the largest of the document's scales that keeps it within its pages, or else in the last of them."""
    assert isinstance(page, dict)
    for scale in document.scales:
        draft = engine.open(blocks, {**page, "scale": scale})
        layout = draft.layout()
        if not document.most_pages or layout.pages <= document.most_pages:
            break
    return draft, layout


def _clean(cleaner: Cleaner, value: Plain) -> Plain:
    if isinstance(value, dict):
        return {key: one if key == "qr" else _clean(cleaner, one) for key, one in value.items()}
    if isinstance(value, list):
        return [_clean(cleaner, one) for one in value]
    return cleaner.clean(value)


def _page(document: Document, as_of: date) -> Plain:
    title = f"{document.title} ({document.sort_words.lower()})"
    return {
        "title": title,
        "subject": f"{title}. {' '.join(document.foot)}",
        "keywords": [document.sort, document.id],
        "unit": document.unit,
        "language": document.language,
        "date": [as_of.year, as_of.month, as_of.day],
        "paper": document.paper,
        "labels": document.sort == "labels",
        "sort_words": document.sort_words,
        "draft": document.draft,
        "draft_words": DRAFT_WORDS,
        "foot": [*document.foot],
    }


def _findings(document: Document, layout: Layout) -> tuple[Finding, ...]:
    found = [
        Finding(
            rule="step-split-over-pages",
            code="SW402",
            severity=Severity.SERIOUS,
            message=f"On the sheet {document.path} a {word} begins on page {start.page} and ends on page {end.page}.",
            mend="Make it shorter: it does not fit on one page.",
            procedure=document.procedure,
        )
        for sort, word in _WHOLE.items()
        for start, end in layout.split(sort)
    ]
    if document.most_pages and layout.pages > document.most_pages:
        most = f"{document.most_pages} page" + ("s" if document.most_pages > 1 else "")
        found.append(
            Finding(
                rule="sheet-too-long",
                code="SW407",
                severity=Severity.MINOR,
                message=f"The sheet {document.path} needs {layout.pages} pages; {most} can be hung up or carried.",
                mend="Shorten titles and the words of use-when.",
                procedure=document.procedure,
            )
        )
    return tuple(found)
