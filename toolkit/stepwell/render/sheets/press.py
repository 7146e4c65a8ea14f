"""From a sheet's blocks to its PDF, with what its pages have to answer for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.language import MARK
from stepwell.publish.canonical import Plain, plain_data
from stepwell.render.cards.clean import Cleaner
from stepwell.render.cards.engine import Draft, Engine, default_engine
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import DRAFT_WORDS, untranslated_line
from stepwell.render.sheets.document import Document, Note
from stepwell.resources import data_dir
from stepwell.source.read_fixed_words import fixed_words

_TOLD = re.compile(r"<(?:title|desc)\b[^>]*>([^<]*)<")
_WHOLE = {"row": "line", "picture": "drawing", "entry": "entry", "label": "label"}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetResult:
    """``pdf`` is PDF/A-2a and PDF/UA-1; ``path`` is where it is put below the folder of all sheets.

    ``in_english`` is how many of its lines bear the mark of a translation that is missing or not confirmed.
    """

    path: str
    pdf: bytes
    pages: int
    findings: tuple[Finding, ...]
    in_english: int = 0


@cache
def sheet_engine() -> Engine:
    """The cards' engine and fonts with the sheets' template."""
    cards = default_engine()
    template = data_dir("site_templates") / "sheets" / "sheet.typ"
    return Engine(template=template, fonts=cards.fonts, main_font=cards.main_font, characters=cards.characters)


def press(document: Document, *, as_of: date) -> SheetResult:
    """Lay out a sheet. Faults of its pages are returned as findings; raises EngineError if the tool itself fails."""
    engine = sheet_engine()
    document, count = noted(document)
    cleaner = Cleaner(characters=engine.characters)
    # A square code's own SVG holds no author's text and needs its bytes as they are.
    blocks = [_clean(cleaner, plain_data(block)) for block in document.blocks]
    draft, layout = _largest(engine, document, {"blocks": blocks}, cleaner.clean(_page(document, as_of)))
    found = (*_findings(document, layout), *cleaner.findings(document.procedure or document.id))
    return SheetResult(path=document.path, pdf=draft.pdf(as_of), pages=layout.pages, findings=found, in_english=count)


def noted(document: Document) -> tuple[Document, int]:
    """The sheet with a line on its face that says how many of its lines stand in English, and that number.

    It is counted on what is printed, so that no maker of sheets can forget it.
    """
    printed = [plain_data(block) for block in document.blocks]
    words: list[Plain] = [*printed, *document.foot, document.sort_words, *_fixed(document).values()]
    count = len(set(_marked(words)))
    if not count:
        return document, 0
    line = untranslated_line(count, fixed_words(document.language))
    note = Note(words=line, language=document.language)
    return replace(document, blocks=(document.blocks[0], note, *document.blocks[1:])), count


def _marked(value: Plain) -> Iterator[str]:
    if isinstance(value, str):
        # A drawing tells its parts in its description, one after another.
        pieces = [piece for told in _TOLD.findall(value) for piece in told.split(";")] if "<svg" in value else [value]
        yield from (piece.strip() for piece in pieces if MARK in piece)
    elif isinstance(value, list):
        for one in value:
            yield from _marked(one)
    elif isinstance(value, dict):
        for one in value.values():
            yield from _marked(one)


def _fixed(document: Document) -> dict[str, str]:
    """The words that the template prints itself."""
    language = fixed_words(document.language)
    return {
        "draft": language.say("card", DRAFT_WORDS),
        "page": language.say("card", "Page {page} of {pages}"),
        "name": language.say("sheet", "{role}, name"),
        "signature": language.say("sheet", "signature"),
        "date": language.say("sheet", "date"),
    }


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
    # In German nouns keep their capitals.
    sort_words = document.sort_words.lower() if document.language == "en" else document.sort_words
    title = f"{document.title} ({sort_words})"
    fixed = _fixed(document)
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
        "draft_words": fixed["draft"],
        "words": {**fixed},
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
