"""The index of emergencies: one sheet for the wall, one for the pocket."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from stepwell.model.language import Language
from stepwell.publish.sheet import Sheet, spoken
from stepwell.render.sheets.common import coded, unit_foot
from stepwell.render.sheets.document import Document, Entry, Para, Title

POCKET_SIDES = 2
WALL_SCALES = ("1.8", "1.6", "1.45", "1.3", "1.15", "1")
"""The wall is read from afar: titles of 22 points are 16 minutes of arc at 1.1 m, of 40 points at 2 m."""


def indexes(sheets: Sequence[Sheet], unit: str, notice: str, language: Language, as_of: date) -> tuple[Document, ...]:
    """Both indexes; none where the library has no emergency card. Sheets and notice are in ``language`` already."""
    urgent = [sheet for sheet in sheets if sheet.kind == "emergency"]
    if not urgent:
        return ()
    foot = unit_foot(unit, notice, language, as_of)
    return tuple(_index(urgent, unit, foot, language, pocket=pocket) for pocket in (False, True))


def _index(urgent: Sequence[Sheet], unit: str, foot: tuple[str, ...], language: Language, *, pocket: bool) -> Document:
    def say(english: str) -> str:
        return language.say("sheet", english)

    title = say("Emergencies")
    lead = Para(words=say("Find what you see, take that card. These lines are no instructions."))
    entries = tuple(
        Entry(
            id=sheet.id,
            title=sheet.title,
            words=spoken(sheet.use_when),
            code=coded(sheet, language),
        )
        for sheet in urgent
    )
    return Document(
        sort="index",
        id="pocket" if pocket else "wall",
        title=title,
        sort_words=say("EMERGENCY INDEX") if pocket else say("INDEX OF EMERGENCY CARDS"),
        language=language.code,
        unit=unit,
        foot=(foot[0], foot[1]) if pocket else foot,
        blocks=(Title(words=title), lead, *entries),
        draft=any(sheet.status.draft for sheet in urgent),
        paper="a6" if pocket else "a4",
        most_pages=POCKET_SIDES if pocket else 1,
        scales=("1",) if pocket else WALL_SCALES,
    )
