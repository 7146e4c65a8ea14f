"""What is seen: the code, contrast in grey."""

import pytest
import zxingcpp

from stepwell.render.cards.code import code_svg, code_text
from tests.cards.made import made, pictures

BOTH = pytest.mark.parametrize("name", ["emergency", "routine"])


@BOTH
def test_the_code_reads_from_a_150_dpi_scan(name):
    sheet, card = made(name)
    found = zxingcpp.read_barcodes(pictures(card.pdf, 150)[0].convert("L"))
    assert [code.text for code in found] == [code_text(sheet)]
    assert sheet.hash[:12] in code_text(sheet)


def test_the_code_is_one_path():
    assert code_svg("stepwell:x@1#0").count("<path") == 1


def ratio(one: int, other: int) -> float:
    """WCAG contrast of two grey levels."""

    def light(grey: int) -> float:
        part = grey / 255
        return part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4

    high, low = sorted((light(one), light(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@BOTH
def test_grey_keeps_the_contrast(name):
    """Every fill that text stands on is light enough, in grey, for 7:1 against the ink."""
    _, card = made(name)
    for picture in pictures(card.pdf, 60):
        grey = picture.convert("L")
        counts = grey.histogram()
        total = sum(counts)
        grounds = [level for level, count in enumerate(counts) if count > total * 0.01 and level > 60]
        assert grounds
        assert all(ratio(15, level) >= 7 for level in grounds)


def test_the_accents_are_dark_in_grey():
    # Luma of the two accents of the template: text in them must read 7:1 on white.
    for red, green, blue in ((0x7A, 0x0F, 0x14), (0x12, 0x3F, 0x4A)):
        assert ratio(round(0.299 * red + 0.587 * green + 0.114 * blue), 255) >= 7


def test_a_warning_keeps_its_border_and_ground_in_grey():
    _, card = made("emergency")
    grey = pictures(card.pdf, 72)[0].convert("L")
    levels = {level for level, count in enumerate(grey.histogram()) if count > 500}
    assert any(225 <= level < 250 for level in levels), "the warning's ground vanishes in grey"
