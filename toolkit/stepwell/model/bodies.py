"""Walking through a body and changing it: the one place that knows where bodies nest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from stepwell.model.procedure import AnyOrder, Body, Choose, Hold, Item, Lane, Lanes, Meet, Repeat, Stage, Step


def through(item: Item, change: Callable[[Body], Body]) -> Item:
    """The item with every body directly inside it put through ``change``; a step, a hold or a meeting has none and stays."""
    match item:
        case Stage() | AnyOrder() | Repeat():
            return replace(item, body=change(item.body))
        case Lanes():
            return replace(item, lanes=tuple(replace(lane, body=change(lane.body)) for lane in item.lanes))
        case Choose():
            return replace(item, outcomes=tuple(replace(one, body=change(one.body)) for one in item.outcomes))
        case Step() | Hold() | Meet():
            return item


def each_leaf(body: Body, change: Callable[[Step | Hold], Item | None]) -> Body:
    """The body with every step and hold put through ``change``; None leaves it out. An emptied frame stays."""
    out: list[Item] = []
    for item in body:
        changed = change(item) if isinstance(item, Step | Hold) else through(item, lambda inner: each_leaf(inner, change))
        if changed is not None:
            out.append(changed)
    return tuple(out)


def woven(lanes: tuple[Lane, ...]) -> Body:
    """The lanes one after another as far as their meetings permit: a body in sequence that keeps every meeting."""
    rest = [_pieces(lane.body) for lane in lanes]
    out: list[Item] = []
    while any(rest):
        moved = False
        for pieces in rest:
            while pieces and not isinstance(pieces[0], Meet):
                out.append(pieces.pop(0))
                moved = True
        for name in [pieces[0].name for pieces in rest if pieces and isinstance(pieces[0], Meet)]:
            here = [pieces for pieces in rest if any(isinstance(one, Meet) and one.name == name for one in pieces)]
            if here and all(isinstance(pieces[0], Meet) and pieces[0].name == name for pieces in here):
                moved = True
                for pieces in here:
                    pieces.pop(0)
        if not moved:  # meetings that cross, which the loader refuses: nobody waits
            rest = [[one for one in pieces if not isinstance(one, Meet)] for pieces in rest]
    return tuple(out)


def _pieces(body: Body) -> list[Item]:
    """The items, with a stage cut into stages where a meeting stands in it."""
    out: list[Item] = []
    for item in body:
        if not isinstance(item, Stage):
            out.append(item)
            continue
        part: list[Item] = []
        for inner in _pieces(item.body):
            if isinstance(inner, Meet):
                out += [replace(item, body=tuple(part))] if part else []
                out.append(inner)
                part = []
            else:
                part.append(inner)
        out += [replace(item, body=tuple(part))] if part or not item.body else []
    return out


def meetings_of(lane: Body) -> tuple[str, ...]:
    """The names of the meetings that a lane comes to, in its order; those of lanes within it are none of its own."""
    found: list[str] = []
    for item in lane:
        if isinstance(item, Meet):
            found.append(item.name)
        elif isinstance(item, Stage):
            found.extend(meetings_of(item.body))
    return tuple(found)
