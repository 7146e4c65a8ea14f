"""The kit list of a procedure: what to lay out, where it belongs, a box for each of two people."""

from __future__ import annotations

from datetime import date

from stepwell.model.language import Language
from stepwell.model.rig import Rig
from stepwell.publish.sheet import Sheet, spoken
from stepwell.render.drawings.draw import Picture as Drawing
from stepwell.render.drawings.draw import draw
from stepwell.render.drawings.plan import SHEET
from stepwell.render.sheets.common import known_states, sheet_foot, ticked
from stepwell.render.sheets.document import Block, Break, Document, Para, Picture, Sign, Table, Title
from stepwell.report.circuit_state import circuit_state
from stepwell.report.results import ProcedureReport
from stepwell.source.read_fixed_words import fixed_words


def kit_list(sheet: Sheet, rig: Rig | None, report: ProcedureReport | None, as_of: date) -> Document | None:
    """None where the procedure names no kit. Its second page shows the set as the first line expects it.

    It is in the language of ``sheet``; ``rig`` is in that language already.
    """
    if not sheet.kit:
        return None
    language = fixed_words(sheet.language)

    def say(english: str, **slots: str) -> str:
        return language.say("sheet", english, **slots)

    title = say("Kit: {title}", title=sheet.title)
    rows = tuple(ticked(one.name, one.amount, one.place, boxes=2) for one in sheet.kit)
    blocks: list[Block] = [
        Title(words=title),
        Para(head=language.say("card", "Use when:"), words=spoken(sheet.use_when)),
        Table(
            id="kit",
            columns=("3", "auto", "2", "box", "box"),
            head=(say("What"), say("How many"), say("Where"), say("Laid"), say("Seen")),
            rows=rows,
        ),
        Para(
            words=say(
                "One person lays it out, another sees each piece. Look at the date and packaging of whatever is sterile."
            )
        ),
        Sign(title=say("Complete"), roles=(say("Laid out by"), say("Seen by"))),
        *_start(rig, report, language),
    ]
    return Document(
        sort="kit",
        id=sheet.id,
        title=title,
        sort_words=say("KIT LIST"),
        language=sheet.language,
        unit=sheet.unit,
        foot=sheet_foot(sheet, as_of),
        blocks=tuple(blocks),
        draft=sheet.status.draft,
        procedure=sheet.id,
    )


def _start(rig: Rig | None, report: ProcedureReport | None, language: Language) -> tuple[Block, ...]:
    known = known_states(rig, report)
    if rig is None or known is None:
        return ()
    layout, states = known
    state = circuit_state(layout, next(iter(states.values())).before)
    svg = draw(rig, Drawing(state=state, key=False, frame=SHEET, ground=False, language=language))
    caption = language.say("sheet", "Does yours match? The set before the first line")
    alt = language.say("sheet", "{rig} before the first line", rig=rig.title)
    return Break(), Picture(id="start", svg=svg, alt=alt, caption=caption)
