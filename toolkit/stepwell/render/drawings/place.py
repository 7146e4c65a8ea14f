"""From a rig to the plan of its drawing."""

from __future__ import annotations

from collections.abc import Mapping

from stepwell.circuit.entry import Family
from stepwell.model.rig import Part, Rig
from stepwell.render.drawings.bottom import equipment_boxes, strips
from stepwell.render.drawings.columns import Column, Drawn, room_for
from stepwell.render.drawings.plan import Block, Frame, Plan, Run, Vessel
from stepwell.render.drawings.rows import Stack
from stepwell.render.drawings.skeleton import Skeleton, family, skeleton_of
from stepwell.render.drawings.top import Top
from stepwell.render.drawings.type_size import LEADING

PUMP_RADIUS = 32.0


def plan_of(rig: Rig, frame: Frame, said: Mapping[str, str] | None = None) -> Plan:
    """Lay out a rig. Total: a part that fits nowhere in the circuit is drawn as a box below it.

    ``said``: what stands beside a part in the place of its label and state, so that the plan is no higher than its words
    are in this one state.
    """
    made = skeleton_of(rig)
    parts = {part.id: part for part in rig.parts}
    far = any(name in parts and family(parts[name]) is Family.END for chain in made.rest for name in chain)
    drawn = Drawn(parts, {} if frame.bare else _tags(made, parts), frame, far, said or {})
    need = {part.id: room_for(drawn, part) for part in rig.parts}
    above = Stack(made.above_left, made.above_right, made, drawn)
    main = Stack(made.left, made.right, made, drawn)
    top = Top(drawn, made, (above, main))
    y = frame.head + top.height
    above_heights, main_heights = above.heights(need), main.heights(need)
    if above.rows:
        bottom = y + sum(above_heights)
        for side in (0, 1):
            Column(drawn, above, side, above_heights, bottom, top).draw(None)
        y = bottom
    y += frame.joint if above.rows else frame.lid
    if main.rows:
        y += sum(main_heights)
        pump_y = y + frame.sump
        for side in (0, 1):
            Column(drawn, main, side, main_heights, y, top).draw((pump_y, made.head or ""))
        y = _bottom(drawn, made, pump_y)
    top.draw()
    if frame.bare:
        y = strips(drawn, made.rest, y + 10)
    elif frame.beside:
        y = max(y, strips(drawn, made.rest, equipment_boxes(drawn, made.equipment, frame.head) + 10))
    else:
        y = equipment_boxes(drawn, made.equipment, strips(drawn, made.rest, y + 10) + 6)
    return Plan(
        frame=frame,
        height=y,
        runs=tuple(drawn.runs),
        gates=tuple(drawn.gates),
        ends=tuple(drawn.ends),
        vessels=tuple(drawn.vessels),
        blocks=tuple(drawn.blocks),
        arrows=tuple(drawn.arrows),
        notes=tuple(drawn.notes),
        key_y=y,
    )


def _bottom(drawn: Drawn, made: Skeleton, pump_y: float) -> float:
    """The pump head between the columns, or a plain bend where the main path has none."""
    if made.head is None:
        for names, x in ((made.left, drawn.frame.left), (made.right, drawn.frame.right)):
            if names and family(drawn.parts[names[0]]) is not Family.SPACE:
                drawn.runs.append(Run(part=names[0], points=((drawn.frame.middle, pump_y), (x, pump_y))))
        return pump_y + 24
    r = PUMP_RADIUS
    drawn.vessels.append(
        Vessel(part=made.head, kind="pump-head", x=drawn.frame.middle - r, y=pump_y - r, width=2 * r, height=2 * r)
    )
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
    return pump_y + r + 8 + LEADING * (len(lines) + drawn.state_rows(made.head, 1)) + (22 if drawn.tags(made.head) else 0)


def _tags(made: Skeleton, parts: dict[str, Part]) -> dict[str, str]:
    """A letter for every piece of equipment that belongs to a part of the circuit."""
    drawn = set(parts) - set(made.equipment)
    letters: dict[str, str] = {}
    for name in made.equipment:
        targets = [one for _, ids in parts[name].refs for one in ids[:1]]
        if any(one in drawn for one in targets) and len(letters) < 26:
            letters[name] = chr(ord("A") + len(letters))
    return letters
