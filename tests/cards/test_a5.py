"""An emergency card on one side of A5: the same sizes as on A4, or it is refused."""

from __future__ import annotations

import io
from dataclasses import replace

import pdfplumber
import pikepdf
import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Procedure, Stage, Step
from stepwell.publish.sheet import ReleaseMark, Sheet
from stepwell.render.cards.engine import default_engine
from stepwell.render.cards.fonts import POINT_MM
from stepwell.render.cards.keep import card_of as kept_card
from stepwell.render.cards.paper import A5
from stepwell.render.cards.render import CardResult, render_card
from stepwell.render.cards.sizes import LEAST_ARC, cap_mm
from tests import demo
from tests.cards.made import card_of, made, page_texts, sheet_of, slanted
from tests.cards.test_keep import Memory
from tests.cards.test_start import report
from tests.publish.bench import AS_OF, emergency, routine, say

BOX_MM = 8.2


def short(lines: int = 2) -> Procedure:
    """Three lines at once, then a few more: no card of the demonstration unit is short enough for A5."""
    first = emergency().body[0]
    assert isinstance(first, Stage)
    then = tuple(Step(id=f"t{n:03}", who="specialist", say=say("Shut {drain-clamp}.")) for n in range(lines))
    return replace(emergency(), kit=(), body=(first, Stage(title="Then", body=then)))


def small(given: Procedure) -> tuple[Sheet, CardResult]:
    sheet = sheet_of(given)
    return sheet, render_card(sheet, as_of=AS_OF, paper=A5)


def test_a_short_card_is_one_side_of_a5_without_a_serious_finding():
    _, card = small(short())
    assert card.pages == 1
    assert all(one.severity is Severity.MINOR for one in card.findings)
    with pikepdf.open(io.BytesIO(card.pdf)) as pdf:
        (page,) = pdf.pages
        assert [round(float(n)) for n in page.mediabox] == [0, 0, 420, 595]
        with pdf.open_metadata() as meta:
            assert (meta["pdfaid:part"], meta["pdfaid:conformance"], meta["pdfuaid:part"]) == ("2", "A", "1")


@pytest.mark.parametrize("lines", [1, 2, 3])
def test_its_lines_are_as_large_as_the_distance_asks_and_its_boxes_as_on_a4(lines: int):
    sheet, card = small(short(lines))
    assert card.pages == 1
    font = default_engine().main_font
    least = cap_mm(LEAST_ARC, sheet.reading_distance_mm)
    with pdfplumber.open(io.BytesIO(card.pdf)) as document:
        (page,) = document.pages
        words = page.filter(lambda thing: not slanted(thing)).extract_words(extra_attrs=["size"])
        own = [word for word in words if word["text"] in ("Shut", "Stop", "Call", "answers", "Because:", "Use", "END")]
        assert len(own) >= lines + 4
        for word in own:
            assert word["size"] * font.cap_height * POINT_MM > least - 0.01, word["text"]
        # Nothing of the text leaves the page, and the footer stands clear of its edge.
        for word in words:
            assert A5.left - 0.5 < word["x0"] * POINT_MM
            assert word["x1"] * POINT_MM < 148 - A5.right + 0.5, word["text"]
            assert word["bottom"] * POINT_MM < A5.height - 4, word["text"]
        shapes = (*page.rects, *page.curves)
        edges = [(one["width"] * POINT_MM, one["height"] * POINT_MM) for one in shapes]
    boxes = [edge for edge in edges if all(abs(side - BOX_MM) < 0.05 for side in edge)]
    assert len(boxes) >= 3 + lines + 1


def test_it_bears_the_draft_mark_the_code_the_footer_and_the_end():
    sheet, card = small(short())
    (text,) = page_texts(card.pdf)
    for words in (
        "EMERGENCY CARD",
        "DRAFT - NOT FOR USE",
        "END",
        "Page 1 of 1",
        "Not released.",
        f"Code {sheet.short_hash}.",
    ):
        assert words in text
    for line in sheet.notice:
        assert line in text
    with pdfplumber.open(io.BytesIO(card.pdf)) as document:
        across = "".join(char["text"] for char in document.pages[0].chars if slanted(char))
    assert across.replace(" ", "") == "DRAFT-NOTFORUSE"
    with pikepdf.open(io.BytesIO(card.pdf)) as pdf, pdf.open_metadata() as meta:
        assert sheet.short_hash in meta["dc:description"]


def test_a_card_that_is_too_long_for_a5_says_so():
    _, card = small(short(20))
    assert card.pages > 1
    finding = card.findings[0]
    assert (finding.code, finding.severity) == ("SW401", Severity.SERIOUS)
    assert "sides of A5 even in the smallest permitted type" in finding.message
    assert "Shorten it" in finding.mend
    assert card_of(short(6)).pages == 1, "what is too long for A5 may well be one side of A4"
    assert small(short(12))[1].pages > 1


def test_only_the_draft_of_an_emergency_card_is_laid_out_on_a5():
    with pytest.raises(ValueError, match="A4 alone"):
        small(routine())
    with pytest.raises(ValueError, match="A4 alone"):
        render_card(sheet_of(emergency(), ReleaseMark(approved=AS_OF, effective=AS_OF)), as_of=AS_OF, paper=A5)


def test_the_a4_card_is_the_same_beside_it_and_the_two_are_kept_apart():
    sheet = sheet_of(short())
    before = render_card(sheet, as_of=AS_OF)
    memory = Memory()
    args = (sheet, AS_OF, demo.workspace(), report(), memory)
    on_a5 = kept_card(*args, paper=A5)
    assert kept_card(*args).pdf == before.pdf
    assert kept_card(*args, paper=A5).pdf == on_a5.pdf != before.pdf
    assert len(memory.texts) == 2
    assert render_card(made("emergency")[0], as_of=AS_OF).pdf == made("emergency")[1].pdf
