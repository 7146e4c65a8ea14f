"""Cards made once for all tests, and ways to look at them."""

from __future__ import annotations

import io
from functools import cache, lru_cache

import pdfplumber
import pypdfium2
from PIL.Image import Image

from stepwell.model.procedure import Procedure
from stepwell.publish.build import build_sheet
from stepwell.publish.sheet import ReleaseMark, Sheet
from stepwell.render.cards.render import CardResult, render_card
from tests.publish.bench import AS_OF, emergency, routine, workspace


def sheet_of(given: Procedure, release: ReleaseMark | None = None) -> Sheet:
    return build_sheet(workspace(given), given, None, AS_OF, release=release)


def card_of(given: Procedure, release: ReleaseMark | None = None) -> CardResult:
    return render_card(sheet_of(given, release), as_of=AS_OF)


@cache
def made(name: str) -> tuple[Sheet, CardResult]:
    given = {"emergency": emergency, "routine": routine}[name]()
    return sheet_of(given), card_of(given)


def slanted(thing: dict[str, object]) -> bool:
    """Whether a character stands at a slant, as those of the draft mark do."""
    matrix = thing.get("matrix")
    return isinstance(matrix, tuple) and abs(matrix[1]) > 0.01


@lru_cache(maxsize=32)
def page_texts(pdf: bytes) -> list[str]:
    """The upright text of each page, white space as single blanks; the draft mark across the page is left out."""
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        pages = [page.filter(lambda o: not slanted(o)) for page in document.pages]
        return [" ".join((page.extract_text() or "").split()) for page in pages]


@lru_cache(maxsize=8)
def characters(pdf: bytes) -> list[dict[str, object]]:
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return [char for page in document.pages for char in page.chars]


def pictures(pdf: bytes, dpi: int) -> list[Image]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [page.render(scale=dpi / 72).to_pil() for page in document]
    finally:
        document.close()
