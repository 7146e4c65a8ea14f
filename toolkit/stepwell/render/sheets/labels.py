"""Labels for trolleys: which card, which version, as a square code and as a code to read out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from stepwell.model.language import Language
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.code import code_svg, code_text
from stepwell.render.sheets.common import unit_foot
from stepwell.render.sheets.document import Document, Label, Labels, Title

PER_PAGE = 8


def labels(sheets: Sequence[Sheet], unit: str, notice: str, language: Language, as_of: date) -> Document | None:
    """One label for every card, emergencies first; None for an empty library.

    Sheets and notice are in ``language`` already.
    """
    if not sheets:
        return None
    order = {"emergency": 0, "routine": 1, "check": 2}
    items = tuple(
        Label(
            id=sheet.id,
            title=sheet.title,
            words=f"{sheet.id} {sheet.version}",
            code=sheet.short_hash,
            qr=code_svg(code_text(sheet)),
            qr_alt=language.say("card", "Square code: {code}", code=code_text(sheet)),
        )
        for sheet in sorted(sheets, key=lambda sheet: order.get(sheet.kind, 3))
    )
    pages = tuple(Labels(items=items[at : at + PER_PAGE]) for at in range(0, len(items), PER_PAGE))
    title = language.say("sheet", "Labels")
    return Document(
        sort="labels",
        id="labels",
        title=title,
        sort_words=language.say("sheet", "LABELS FOR TROLLEYS"),
        language=language.code,
        unit=unit,
        foot=unit_foot(unit, notice, language, as_of),
        blocks=(Title(words=title), *pages),
        draft=any(sheet.status.draft for sheet in sheets),
    )
