"""From a rig to the plan of its drawing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from stepwell.circuit.entry import Family
from stepwell.model.rig import Part, Rig
from stepwell.render.drawings.bottom import equipment_boxes, strips
from stepwell.render.drawings.columns import Column, Drawn, room_for
from stepwell.render.drawings.hyphens import hyphens_of
from stepwell.render.drawings.plan import Block, Frame, Plan, Run, Vessel
from stepwell.render.drawings.rows import Stack
from stepwell.render.drawings.skeleton import Skeleton, family, figures_of, one_name
from stepwell.render.drawings.top import Top
from stepwell.render.drawings.type_size import LEADING
from stepwell.source.read_fixed_words import fixed_words

PUMP_RADIUS = 32.0
FIGURE_GAP = 26.0
"""Between two circuits that do not touch."""


def plan_of(
    rig: Rig,
    frame: Frame,
    said: Mapping[str, str] | None = None,
    language: str = "en",
    joined: frozenset[tuple[str, str]] = frozenset(),
) -> Plan:
    """Lay out a rig. Total: a part that fits nowhere in the circuit is drawn as a box below it.

    ``said``: what stands beside a part in the place of its label and state, so that the plan is no higher than its words
    are in this one state. ``joined``: what is joined in it, so that circuits that do not touch can be drawn one below the
    other.
    """
    figures = figures_of(rig, joined)
    parts = {part.id: part for part in rig.parts}
    rest = [chain for made in figures for chain in made.rest]
    equipment = [name for made in figures for name in made.equipment]
    far = any(name in parts and family(parts[name]) is Family.END for chain in rest for name in chain)
    said = said or {}
    hyphens = hyphens_of((*(one_name(part) for part in rig.parts), *said.values()), language)
    drawn = Drawn(parts, {} if frame.bare else _tags(equipment, parts), frame, far, said, hyphens, fixed_words(language))
    y = frame.head
    for number, made in enumerate(figures):
        y = _figure(drawn, made, y + (FIGURE_GAP if number else 0.0))
    if frame.bare:
        y = strips(drawn, rest, y + 10) if rest else y
    elif frame.beside:
        y = max(y, strips(drawn, rest, equipment_boxes(drawn, equipment, frame.head) + 10))
    else:
        y = equipment_boxes(drawn, equipment, strips(drawn, rest, y + 10) + 6)
    return Plan(
        frame=frame,
        height=y,
        runs=tuple(drawn.runs),
        gates=tuple(drawn.gates),
        ends=tuple(drawn.ends),
        vessels=tuple(drawn.vessels),
        blocks=tuple(replace(one, widths=drawn.widths(one)) for one in drawn.blocks),
        arrows=tuple(drawn.arrows),
        notes=tuple(drawn.notes),
        key_y=y,
        hyphens=hyphens,
    )


def _figure(drawn: Drawn, made: Skeleton, base: float) -> float:
    """Two columns with what hangs on them; returns where they end."""
    frame = drawn.frame
    # Where the words of a column may reach into other rows they do not make a row higher.
    need = {} if frame.aside else {name: room_for(drawn, part) for name, part in drawn.parts.items()}
    joint = frame.joint / 2 - 2
    above = Stack(made.above_left, made.above_right, made, drawn, need, (joint, 0.0))
    # Labels do not reach down to the tubing at the pump.
    room = (frame.sump - 12.0, joint if above.rows else frame.lid - 2)
    main = Stack(made.left, made.right, made, drawn, need, room)
    top = Top(drawn, made, (above, main), base)
    y = base + top.height
    above_heights, main_heights = above.heights(), main.heights()
    if above.rows:
        bottom = y + sum(above_heights)
        for side in (0, 1):
            Column(drawn, above, side, above_heights, bottom, top).draw(None)
        y = bottom
    y += frame.joint if above.rows else frame.lid
    if main.rows:
        y += sum(main_heights)
        pump_y = y + frame.sump
        lowest = made.head or _lowest(drawn, made)
        for side in (0, 1):
            Column(drawn, main, side, main_heights, y, top).draw((pump_y, lowest))
        y = _bottom(drawn, made, pump_y)
    top.draw()
    return y


def _lowest(drawn: Drawn, made: Skeleton) -> str:
    """Where the main path has no pump head: the part whose tubing is its lowest."""
    firsts = (*made.right[:1], *made.left[:1])
    return next((name for name in firsts if drawn.family(name) is Family.SPACE), "")


def _bottom(drawn: Drawn, made: Skeleton, pump_y: float) -> float:
    """The pump head between the columns, or a plain bend where the main path has none."""
    if made.head is None:
        lowest = _lowest(drawn, made)
        for names, x in ((made.left, drawn.frame.left), (made.right, drawn.frame.right)):
            if names and family(drawn.parts[names[0]]) is not Family.SPACE:
                drawn.runs.append(Run(part=lowest or names[0], points=((drawn.frame.middle, pump_y), (x, pump_y))))
        return pump_y + (12 if drawn.frame.aside else 24)
    r = PUMP_RADIUS
    drawn.vessels.append(
        Vessel(part=made.head, kind="pump-head", x=drawn.frame.middle - r, y=pump_y - r, width=2 * r, height=2 * r)
    )
    if drawn.frame.aside:
        return _beside_pump(drawn, made.head, pump_y)
    width = max(180.0, drawn.frame.between - 20)
    lines = drawn.lines(made.head, width)
    drawn.blocks.append(
        Block(
            part=made.head,
            x=drawn.frame.middle,
            y=pump_y + r + 4,
            side="middle",
            width=width,
            lines=lines,
            tags=drawn.tags(made.head),
        )
    )
    return (
        pump_y + r + 8 + LEADING * (len(lines) + drawn.state_rows(made.head, width)) + (22 if drawn.tags(made.head) else 0)
    )


def _beside_pump(drawn: Drawn, head: str, pump_y: float) -> float:
    """The words of the pump head beside its lower half, below the tubing."""
    x, y = drawn.frame.middle + PUMP_RADIUS + 8, pump_y + 12
    width = drawn.frame.circuit - x - 6
    lines = drawn.lines(head, width)
    drawn.blocks.append(Block(part=head, x=x, y=y, side="start", width=width, lines=lines))
    return max(pump_y + PUMP_RADIUS + 3, y + LEADING * len(lines))


def _tags(pieces: list[str], parts: dict[str, Part]) -> dict[str, str]:
    """A letter for every piece of equipment that belongs to a part of the circuit."""
    drawn = set(parts) - set(pieces)
    letters: dict[str, str] = {}
    for name in pieces:
        targets = [one for _, ids in parts[name].refs for one in ids[:1]]
        if any(one in drawn for one in targets) and len(letters) < 26:
            letters[name] = chr(ord("A") + len(letters))
    return letters
