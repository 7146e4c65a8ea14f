"""The kit list of a procedure: what to lay out, where it belongs, a box for each of two people."""

from __future__ import annotations

from datetime import date

from stepwell.publish.sheet import Sheet, spoken
from stepwell.render.sheets.common import sheet_foot, ticked
from stepwell.render.sheets.document import Block, Document, Para, Sign, Table, Title


def kit_list(sheet: Sheet, as_of: date) -> Document | None:
    """None where the procedure names no kit."""
    if not sheet.kit:
        return None
    rows = tuple(ticked(one.name, one.amount, one.place, boxes=2) for one in sheet.kit)
    blocks: tuple[Block, ...] = (
        Title(words=f"Kit: {sheet.title}"),
        Para(head="Use when:", words=spoken(sheet.use_when)),
        Table(
            id="kit", columns=("3", "auto", "2", "box", "box"), head=("What", "How many", "Where", "Laid", "Seen"), rows=rows
        ),
        Para(
            words="One person lays it out, another sees each piece. Look at the date and packaging of whatever is sterile."
        ),
        Sign(title="Complete", roles=("Laid out by", "Seen by")),
    )
    return Document(
        sort="kit",
        id=sheet.id,
        title=f"Kit: {sheet.title}",
        sort_words="KIT LIST",
        language=sheet.language,
        unit=sheet.unit,
        foot=sheet_foot(sheet, as_of),
        blocks=blocks,
        draft=sheet.status.draft,
        procedure=sheet.id,
    )
