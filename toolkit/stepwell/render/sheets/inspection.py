"""The inspection sheet of a set: everything its file says, for two people to compare with a real set.

A wrong file voids every verdict, so that each joint, connector, gate, sensor and figure has a line of its own.
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.entry import Family
from stepwell.circuit.kinds import part_kind
from stepwell.circuit.settings import baseline_state
from stepwell.circuit.settle import settle
from stepwell.model.rig import ATMOSPHERE, Part, Rig
from stepwell.publish.words import printed
from stepwell.render.drawings.draw import Picture as Drawing
from stepwell.render.drawings.draw import draw
from stepwell.render.drawings.plan import SHEET
from stepwell.render.drawings.state_words import state_words
from stepwell.render.sheets.common import rig_foot, ticked
from stepwell.render.sheets.document import Block, Break, Document, Heading, Para, Picture, Row, Sign, Table, Title, Words
from stepwell.report.circuit_state import CircuitState, circuit_state

_NOTES = 16
_BOXES = ("box", "box")
_INSPECTORS = ("1st", "2nd")


def inspection(rig: Rig, unit: str, notice: str, language: str, as_of: date) -> Document:
    """Never released: what is ticked on it decides whether the set's file may say that it was inspected."""
    blocks: list[Block] = [
        Title(words=f"Inspection: {rig.title}"),
        Para(
            words="Two people stand at a real set and go through every line, each for themselves. Tick what is as written."
            " Where it is not, leave the box empty and write below what the set is like: the file is changed, not the set."
        ),
        Para(head="Set:", words=f"{rig.title}, {rig.id} {rig.version}"),
    ]
    for name, title, columns, head, rows in (
        ("joints", "What leads to what", ("1", "1"), ("From", "directly to"), _joints(rig)),
        ("ends", "Connectors", ("2", "2", "3"), ("Connector", "Fits", "As the set is delivered"), _ends(rig)),
        ("gates", "Clamps, caps, vents, valves and taps", ("2", "2", "2"), ("Part", "Where", "As delivered"), _gates(rig)),
        ("spaces", "Lines and vessels", ("2", "2", "3"), ("Part", "Where", "Figures and traits"), _spaces(rig)),
        ("equipment", "Sensors and equipment", ("2", "3", "2"), ("Part", "Belongs to", "Traits"), _equipment(rig)),
    ):
        if rows:
            table = Table(id=name, columns=(*columns, *_BOXES), head=(*head, *_INSPECTORS), rows=rows)
            blocks += [Heading(words=title), table]
    first = _first_state(rig)
    if first is not None:
        name, state = first
        svg = draw(rig, Drawing(state=state, caption=f"As the file has it: {name}", key=False, frame=SHEET, ground=False))
        alt = f"The circuit of {rig.title} as its file has it"
        picture = Picture(id="start", svg=svg, alt=alt)
        blocks += [Break(), Heading(words="Compare the whole with the drawing"), picture]
    blocks.append(Break())
    blocks += [
        Heading(words="Not as written: the part, and what the set is like"),
        Table(id="notes", columns=("1",), head=(), rows=(Row(cells=(Words(words=" "),)),) * _NOTES),
        Sign(
            title="Inspected", roles=("First inspector", "Second inspector"), words="We compared every line with a real set."
        ),
    ]
    return Document(
        sort="inspection",
        id=rig.id,
        title=f"Inspection: {rig.title}",
        sort_words="INSPECTION SHEET",
        language=language,
        unit=unit,
        foot=rig_foot(rig, unit, notice, as_of),
        blocks=tuple(blocks),
    )


def _joints(rig: Rig) -> tuple[Row, ...]:
    """Every pair of neighbours in the chains, in the direction in which the file lists them."""
    labels = _labels(rig)
    pairs = dict.fromkeys(pair for chain in rig.chains for pair in pairwise(chain.parts))
    return tuple(ticked(_name(one, labels), _name(other, labels), boxes=2, strong=-1) for one, other in pairs)


def _name(name: str, labels: dict[str, str]) -> str:
    part, _, place = name.partition(".")
    if name == ATMOSPHERE:
        return "the open air"
    return labels.get(part, part) + (f" ({place})" if place else "")


def _labels(rig: Rig) -> dict[str, str]:
    return {part.id: part.label or part.id for part in rig.parts}


def _of(rig: Rig, *families: Family) -> list[Part]:
    return [part for part in rig.parts if (kind := part_kind(part.kind)) is not None and kind.family in families]


def _ends(rig: Rig) -> tuple[Row, ...]:
    labels, states = _labels(rig), _words(rig)
    rows = []
    for part in _of(rig, Family.END):
        role = part.word("role")
        fits = (part.word("fits") or "").replace("-", " ") + (f", {role} side" if role in ("drain", "return") else "")
        rows.append(ticked(labels[part.id], fits, _joined(rig, part.id) or states.get(part.id, ""), boxes=2))
    return tuple(rows)


def _joined(rig: Rig, name: str) -> str:
    labels = _labels(rig)
    for baseline in rig.baselines[:1]:
        for setting in baseline.settings:
            if setting.part == name and setting.word.startswith("joined:"):
                other = setting.word.removeprefix("joined:")
                return f"joined to {labels.get(other, other)}"
    return ""


def _gates(rig: Rig) -> tuple[Row, ...]:
    labels, states = _labels(rig), _words(rig)
    chosen = [part for part in rig.parts if part in _of(rig, Family.GATE) or part.kind == "tap"]
    return tuple(ticked(labels[part.id], _place(part), states.get(part.id, ""), boxes=2) for part in chosen)


def _place(part: Part) -> str:
    return ", ".join((part.place, *(trait.replace("-", " ") for trait in part.traits))).strip(", ")


def _spaces(rig: Rig) -> tuple[Row, ...]:
    labels = _labels(rig)
    rows = []
    for part in _of(rig, Family.SPACE):
        if part.kind in ("vein", "artery", "tap"):
            continue
        figures = [f"{name.replace('-', ' ')} {printed(str(value))}" for name, value in part.data]
        traits = [trait.replace("-", " ") for trait in part.traits]
        rows.append(ticked(labels[part.id], part.place, ", ".join((*figures, *traits)), boxes=2))
    return tuple(rows)


def _equipment(rig: Rig) -> tuple[Row, ...]:
    labels = _labels(rig)
    placed = {part.id for part in _of(rig, Family.SPACE, Family.GATE, Family.END)}
    rows = []
    for part in rig.parts:
        if part.id in placed:
            continue
        refs = [f"{name}: {', '.join(labels.get(one, one) for one in ids)}" for name, ids in part.refs]
        belongs = "; ".join((*([part.place] if part.place else []), *refs))
        traits = [trait.replace("-", " ") for trait in part.traits]
        figures = [f"{name.replace('-', ' ')} {printed(str(value))}" for name, value in part.data]
        words = [f"{name}: {word}" for name, word in part.words]
        rows.append(ticked(labels[part.id], belongs, ", ".join((*traits, *words, *figures)), boxes=2))
    return tuple(rows)


def _first_state(rig: Rig) -> tuple[str, CircuitState] | None:
    if not rig.baselines:
        return None
    layout = compile_rig(rig)
    first = rig.baselines[0]
    state = settle(layout, baseline_state(layout, first)).state
    return first.name.replace("-", " "), circuit_state(layout, state)


def _words(rig: Rig) -> dict[str, str]:
    """The state of every part in the first baseline, in words."""
    first = _first_state(rig)
    if first is None:
        return {}
    return {one.part: state_words(rig.part(one.part), one) for one in first[1].parts}
