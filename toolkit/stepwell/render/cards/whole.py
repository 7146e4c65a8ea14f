"""Whether everything on a card in another language stands in that language: also what its sheet does not hold.

The sheet counts its own texts. Besides them a card has the words of the layout, those of its foot, and the drawing of the
circuit, which names parts that no line does.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from stepwell.model.language import MARK
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.page_data import SORT_WORDS, foot_lines
from stepwell.render.cards.start import Start
from stepwell.render.cards.template_words import TEMPLATE_WORDS
from stepwell.source.read_fixed_words import fixed_words

_MARK = MARK.strip()
"""Without its space, because in a drawing each word may be a text of its own."""


def lines_in_english(sheet: Sheet, as_of: date, start: Start | None) -> int:
    """How many texts of a card bear the mark of a translation that is missing or not confirmed."""
    return sheet.in_english + sum(_MARK in text for text in dict.fromkeys(_besides(sheet, as_of, start)))


def _besides(sheet: Sheet, as_of: date, start: Start | None) -> Iterator[str]:
    language = fixed_words(sheet.language)
    for english in (*TEMPLATE_WORDS, *SORT_WORDS.values()):
        yield language.say("card", english)
    # The title and the unit's notice are the sheet's.
    yield " ".join(line for line in foot_lines(sheet, as_of)[1:] if line not in sheet.notice)
    if start is not None:
        drawing = start.drawing
        yield from (*drawing.texts(), drawing.told, drawing.tubing, drawing.below)
        for label, words in drawing.beside:
            yield from (label, words)
