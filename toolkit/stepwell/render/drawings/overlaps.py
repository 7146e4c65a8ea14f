"""What of a plan that is printed lies on something else: of several plans those are taken in which nothing does."""

from __future__ import annotations

from stepwell.render.drawings.plan import Block, Plan
from stepwell.render.drawings.type_size import LEADING, SIZE

Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

_RISE, _FALL = 11.0, 2.0
"""How far letters reach above and below their base line."""
_WIDE, _NARROW = 8.8, 6.3
"""From the middle of tubing to its outside."""
_GATE = {"clamp": (8.0, 20.0), "cap": (8.0, 11.0), "vent": (8.0, 13.0)}
_END = (8.0, 14.0)


def overlaps(plan: Plan) -> int:
    """How many lines of words lie on others, on tubing, on a symbol or outside of the picture."""
    lines = [box for block in plan.blocks for box in _lines(block)]
    bags = [(one.x, one.y, one.x + one.width, one.y + one.height) for one in plan.vessels if one.kind == "bag"]
    solid = [*_tubing(plan), *_symbols(plan)]
    found = 0
    for at, box in enumerate(lines):
        outside = box[0] < 0 or box[2] > plan.frame.width
        inside = any(bag[0] <= box[0] and box[2] <= bag[2] and bag[1] <= box[1] and box[3] <= bag[3] for bag in bags)
        others = lines[at + 1 :] if inside else [*lines[at + 1 :], *solid, *bags]
        found += outside or any(_touch(box, one) for one in others)
    return found


def _touch(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _lines(block: Block) -> list[Box]:
    found = []
    for number, wide in enumerate(block.widths):
        left = block.x - {"start": 0.0, "middle": wide / 2, "end": wide}[block.side]
        base = block.y + SIZE + LEADING * number
        found.append((left, base - _RISE, left + wide, base + _FALL))
    return found


def _tubing(plan: Plan) -> list[Box]:
    found = []
    for run in plan.runs:
        half = _WIDE if run.wide else _NARROW
        for (x, y), (u, v) in zip(run.points, run.points[1:], strict=False):
            across, along = (half, 0.0) if x == u else (0.0, half)
            found.append((min(x, u) - across, min(y, v) - along, max(x, u) + across, max(y, v) + along))
    return found


def _symbols(plan: Plan) -> list[Box]:
    found = [(one.x, one.y, one.x + one.width, one.y + one.height) for one in plan.vessels if one.kind not in ("bag", "box")]
    places = [(one.at, one.out, _GATE.get(one.kind, (11.0, 11.0))) for one in plan.gates]
    places += [(one.at, one.out, _END) for one in plan.ends]
    for (x, y), out, (along, across) in places:
        wide, high = (along, across) if out[0] else (across, along)
        found.append((x - wide, y - high, x + wide, y + high))
    return found
