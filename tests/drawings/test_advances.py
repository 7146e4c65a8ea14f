"""The widths of letters that drawings on cards are laid out with are those of the vendored typeface."""

from __future__ import annotations

import json

import pytest
import typst

from stepwell.render.drawings import advances
from stepwell.render.drawings.type_size import PAIRS, SIZE, width_of
from stepwell.resources import data_dir

MEASURE = """
#let faces = (font: "Atkinson Hyperlegible Next", fallback: false, size: 1000pt)
#context [#metadata(json(bytes(sys.inputs.texts)).map(words => {
  measure(text(..faces, weight: int(sys.inputs.weight), words)).width / 1pt
}))<wide>]
"""


def measured(texts: list[str], weight: int) -> list[float]:
    """The widths of texts in thousandths of the type size, as the typesetter sets them."""
    compiler = typst.Compiler(
        MEASURE.encode(),
        ignore_system_fonts=True,
        font_paths=[str(data_dir("site_templates") / "fonts")],
        sys_inputs={"texts": json.dumps(texts), "weight": str(weight)},
    )
    return [float(one) for one in json.loads(compiler.eval("query(<wide>).first().value"))]


@pytest.mark.parametrize(("weight", "table"), [(400, advances.REGULAR), (700, advances.BOLD)])
def test_every_letter_is_as_wide_as_in_the_typeface(weight: int, table: dict[str, float]) -> None:
    letters = sorted(table)
    assert {*"abcxyzABCXYZ0123456789.,:;-äöüÄÖÜßéå"} <= set(letters)
    alone, *with_letter = measured(["nn", *(f"n{one}n" for one in letters)], weight)
    for one, wide in zip(letters, with_letter, strict=True):
        assert table[one] * 1000 == pytest.approx(wide - alone, abs=0.6), one


@pytest.mark.parametrize("weight", [400, 700])
def test_a_line_is_at_most_as_wide_as_was_foretold(weight: int) -> None:
    """Some pairs of letters are set nearer to each other than by their own widths, some further apart."""
    texts = [
        "recirculation clamp: open",
        "Oxygenator-Entlüftung: geschlossen",
        "Kappe von T3: an, belüftet",
        "V/A AV To Ty",
    ]
    for words, wide in zip(texts, measured(texts, weight), strict=True):
        assert wide * SIZE / 1000 <= width_of(words, bold=weight > 400, printed=True) * PAIRS, words


def test_on_a_screen_widths_are_estimates_on_the_wide_side() -> None:
    for words in ("recirculation clamp", "lower port of the oxygenator", "Rückgabekanülen-Klemme"):
        assert width_of(words) > width_of(words, printed=True)
