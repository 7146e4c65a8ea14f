"""The inspection sheet of a set: everything its file says, for two people to compare with a real set.

A wrong file voids every verdict, so that each joint, connector, gate, sensor and figure has a line of its own.
"""

from __future__ import annotations

from datetime import date

from stepwell.model.language import Language
from stepwell.model.rig import Rig
from stepwell.render.drawings.draw import Picture as Drawing
from stepwell.render.drawings.draw import draw
from stepwell.render.drawings.plan import SHEET
from stepwell.render.sheets.common import rig_foot
from stepwell.render.sheets.document import Block, Break, Document, Heading, Para, Picture, Row, Sign, Table, Title, Words
from stepwell.render.sheets.set_lines import SetWords, ends, equipment, first_state, gates, joints, spaces

_NOTES = 16
_BOXES = ("box", "box")


def inspection(rig: Rig, unit: str, notice: str, language: Language, as_of: date) -> Document:
    """Never released: what is ticked on it decides whether the set's file may say that it was inspected.

    ``rig`` and ``notice`` are in ``language`` already.
    """

    def say(english: str, **slots: str) -> str:
        return language.say("sheet", english, **slots)

    title = say("Inspection: {rig}", rig=rig.title)
    how = say("Two people stand at a real set and go through every line, each for themselves. Tick what is as written.")
    otherwise = say(
        "Where it is not, leave the box empty and write below what the set is like: the file is changed, not the set."
    )
    blocks: list[Block] = [
        Title(words=title),
        Para(words=f"{how} {otherwise}"),
        Para(head=say("Set:"), words=f"{rig.title}, {rig.id} {rig.version}"),
    ]
    for name, (heading, *head), columns, rows in _tables(SetWords(rig=rig, language=language)):
        if rows:
            table = Table(id=name, columns=(*columns, *_BOXES), head=(*head, say("1st"), say("2nd")), rows=rows)
            blocks += [Heading(words=heading), table]
    first = first_state(rig)
    if first is not None:
        state = language.text(f"rig:{rig.id}", first[0])
        drawing = Drawing(
            state=first[1],
            caption=say("As the file has it: {state}", state=state),
            key=False,
            frame=SHEET,
            ground=False,
            language=language,
        )
        picture = Picture(
            id="start", svg=draw(rig, drawing), alt=say("The circuit of {rig} as its file has it", rig=rig.title)
        )
        blocks += [Break(), Heading(words=say("Compare the whole with the drawing")), picture]
    blocks.append(Break())
    blocks += [
        Heading(words=say("Not as written: the part, and what the set is like")),
        Table(id="notes", columns=("1",), head=(), rows=(Row(cells=(Words(words=" "),)),) * _NOTES),
        Sign(
            title=say("Inspected"),
            roles=(say("First inspector"), say("Second inspector")),
            words=say("We compared every line with a real set."),
        ),
    ]
    return Document(
        sort="inspection",
        id=rig.id,
        title=title,
        sort_words=say("INSPECTION SHEET"),
        language=language.code,
        unit=unit,
        foot=rig_foot(rig, unit, notice, language, as_of),
        blocks=tuple(blocks),
    )


def _tables(words: SetWords) -> tuple[tuple[str, tuple[str, ...], tuple[str, ...], tuple[Row, ...]], ...]:
    """The tables: name, heading and heads of columns, widths, rows."""
    say = words.say
    return (
        ("joints", (say("What leads to what"), say("From"), say("directly to")), ("1", "1"), joints(words)),
        (
            "ends",
            (say("Connectors"), say("Connector"), say("Fits"), say("As the set is delivered")),
            ("2", "2", "3"),
            ends(words),
        ),
        (
            "gates",
            (say("Clamps, caps, vents, valves and taps"), say("Part"), say("Where"), say("As delivered")),
            ("2", "2", "2"),
            gates(words),
        ),
        (
            "spaces",
            (say("Lines and vessels"), say("Part"), say("Where"), say("Figures and traits")),
            ("2", "2", "3") if words.language.english else ("7", "6", "10"),
            spaces(words),
        ),
        (
            "equipment",
            (say("Sensors and equipment"), say("Part"), say("Belongs to"), say("Traits")),
            ("2", "3", "2"),
            equipment(words),
        ),
    )
