"""PDF/A-2a, PDF/UA-1, tags, metadata, and the same bytes each time."""

import io

import pikepdf
import pytest

from tests.cards.made import card_of, made
from tests.publish.bench import emergency, routine

BOTH = pytest.mark.parametrize("name", ["emergency", "routine"])


@BOTH
def test_it_says_pdf_a_and_ua_and_is_tagged(name):
    sheet, card = made(name)
    with pikepdf.open(io.BytesIO(card.pdf)) as pdf:
        with pdf.open_metadata() as meta:
            assert meta["pdfaid:part"] == "2"
            assert meta["pdfaid:conformance"] == "A"
            assert meta["pdfuaid:part"] == "1"
            assert meta["dc:title"] == f"{sheet.title} ({sheet.id} {sheet.version})"
            assert sheet.short_hash in meta["dc:description"]
            assert "Not a medical device." in meta["dc:description"]
        assert bool(pdf.Root.MarkInfo.Marked)
        assert "/StructTreeRoot" in pdf.Root
        assert str(pdf.Root.Lang) == "en"
        assert len(pdf.pages) == card.pages


@BOTH
def test_a4_on_every_page_and_every_font_embedded(name):
    _, card = made(name)
    with pikepdf.open(io.BytesIO(card.pdf)) as pdf:
        for page in pdf.pages:
            assert [round(float(n)) for n in page.mediabox] == [0, 0, 595, 842]
            for font in page.resources.Font.values():
                descriptor = font.DescendantFonts[0].FontDescriptor
                assert any(key in descriptor for key in ("/FontFile2", "/FontFile3"))
                assert "Atkinson" in str(font.BaseFont) or "Inter" in str(font.BaseFont)


def test_the_same_sheet_gives_the_same_bytes():
    assert card_of(emergency()).pdf == made("emergency")[1].pdf
    assert card_of(routine()).pdf == made("routine")[1].pdf
