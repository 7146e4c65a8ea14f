"""The kit list of a procedure: what to lay out, where it belongs, a box for each of two people."""

from __future__ import annotations

from datetime import date

from stepwell.model.rig import Rig
from stepwell.publish.sheet import Sheet, spoken
from stepwell.render.drawings.draw import Picture as Drawing
from stepwell.render.drawings.draw import draw
from stepwell.render.drawings.plan import SHEET
from stepwell.render.sheets.common import known_states, sheet_foot, ticked
from stepwell.render.sheets.document import Block, Break, Document, Para, Picture, Sign, Table, Title
from stepwell.report.circuit_state import circuit_state
from stepwell.report.results import ProcedureReport


def kit_list(sheet: Sheet, rig: Rig | None, report: ProcedureReport | None, as_of: date) -> Document | None:
    """None where the procedure names no kit. Its second page shows the set as the first line expects it."""
    if not sheet.kit:
        return None
    rows = tuple(ticked(one.name, one.amount, one.place, boxes=2) for one in sheet.kit)
    blocks: list[Block] = [
        Title(words=f"Kit: {sheet.title}"),
        Para(head="Use when:", words=spoken(sheet.use_when)),
        Table(
            id="kit", columns=("3", "auto", "2", "box", "box"), head=("What", "How many", "Where", "Laid", "Seen"), rows=rows
        ),
        Para(
            words="One person lays it out, another sees each piece. Look at the date and packaging of whatever is sterile."
        ),
        Sign(title="Complete", roles=("Laid out by", "Seen by")),
        *_start(rig, report),
    ]
    return Document(
        sort="kit",
        id=sheet.id,
        title=f"Kit: {sheet.title}",
        sort_words="KIT LIST",
        language=sheet.language,
        unit=sheet.unit,
        foot=sheet_foot(sheet, as_of),
        blocks=tuple(blocks),
        draft=sheet.status.draft,
        procedure=sheet.id,
    )


def _start(rig: Rig | None, report: ProcedureReport | None) -> tuple[Block, ...]:
    known = known_states(rig, report)
    if rig is None or known is None:
        return ()
    layout, states = known
    state = circuit_state(layout, next(iter(states.values())).before)
    svg = draw(rig, Drawing(state=state, key=False, frame=SHEET, ground=False))
    caption = "Does yours match? The set before the first line"
    return Break(), Picture(id="start", svg=svg, alt=f"{rig.title} before the first line", caption=caption)
