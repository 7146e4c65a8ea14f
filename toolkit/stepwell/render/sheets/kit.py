"""The kit list of a procedure: what to lay out, where it belongs, a box for each of two people."""

from __future__ import annotations

from datetime import date

from stepwell.model.language import Language
from stepwell.model.rig import Rig
from stepwell.publish.sheet import Sheet, spoken
from stepwell.render.cards.engine import default_engine
from stepwell.render.cards.start import Place, start_drawn
from stepwell.render.sheets.common import sheet_foot, ticked
from stepwell.render.sheets.document import Block, Break, Document, Heading, Para, Picture, Sign, Table, Title
from stepwell.report.results import ProcedureReport
from stepwell.source.read_fixed_words import fixed_words

ROOM_MM = 200.0
"""What its page leaves for the drawing: the rest is for the heading and for what stands beside the circuit."""


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
        *_start(sheet, rig, report, language),
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


def _start(sheet: Sheet, rig: Rig | None, report: ProcedureReport | None, language: Language) -> tuple[Block, ...]:
    """The same drawing as on a card, with the words beside it, as large as a page of its own allows."""
    start = None if rig is None or report is None else start_drawn(rig, report, language)
    if start is None:
        return ()
    placed = start.placed(Place.OWN, ROOM_MM, sheet, default_engine().main_font)
    told = placed.told()
    blocks: list[Block] = [
        Break(),
        Heading(words=language.say("sheet", "Does yours match? The set before the first line")),
        Para(words=" ".join((*told, language.say("card", "Put right what differs.")))),
        Picture(id="start", svg=placed.form.svg, alt=start.drawing.told, width=f"{placed.width:.2f}"),
    ]
    if start.drawing.beside:
        beside = "; ".join(f"{label}: {words}" for label, words in start.drawing.beside)
        blocks.append(Para(head=language.say("card", "Beside the circuit:"), words=beside + "."))
    return tuple(blocks)
