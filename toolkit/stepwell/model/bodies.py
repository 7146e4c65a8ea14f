"""Walking through a body and changing it: the one place that knows where bodies nest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from stepwell.model.procedure import AnyOrder, Body, Choose, Hold, Item, Lanes, Repeat, Stage, Step


def through(item: Item, change: Callable[[Body], Body]) -> Item:
    """The item with every body directly inside it put through ``change``; a step or a hold has none and stays."""
    match item:
        case Stage() | AnyOrder() | Repeat():
            return replace(item, body=change(item.body))
        case Lanes():
            return replace(item, lanes=tuple(replace(lane, body=change(lane.body)) for lane in item.lanes))
        case Choose():
            return replace(item, outcomes=tuple(replace(one, body=change(one.body)) for one in item.outcomes))
        case Step() | Hold():
            return item


def each_leaf(body: Body, change: Callable[[Step | Hold], Item | None]) -> Body:
    """The body with every step and hold put through ``change``; None leaves it out. An emptied frame stays."""
    out: list[Item] = []
    for item in body:
        changed = change(item) if isinstance(item, Step | Hold) else through(item, lambda inner: each_leaf(inner, change))
        if changed is not None:
            out.append(changed)
    return tuple(out)
