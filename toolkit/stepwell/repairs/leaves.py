"""The steps, holds, questions and repeats of a body in the order of the page, and how they stand to each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count

from stepwell.model.procedure import AnyOrder, Body, Choose, Hold, Lanes, Meet, Repeat, Stage, Step

Turn = tuple[int, str, int]
"""A frame (numbered in a body), how its items follow each other (``seq``, ``any``, ``lanes``, ``choose``), which item."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One of them. ``number`` counts steps only, from 1, as people do; 0 for what is no step.

    ``lane``: the role whose lane it stands in; empty outside lanes. ``sheltered``: the answers and rounds around it.
    """

    id: str
    item: Step | Hold | Choose | Repeat
    path: tuple[Turn, ...]
    place: int = 0
    number: int = 0
    lane: str = ""
    sheltered: tuple[str, ...] = ()

    @property
    def loose(self) -> bool:
        """True if it stands directly in an any-order, where before and behind mean nothing."""
        return self.path[-1][1] == "any"


def leaves_of(body: Body) -> tuple[Leaf, ...]:
    """All of them in the order of the page."""
    found = list(_walk(body, count(), "seq", Leaf(id="", item=_NOBODY, path=())))
    numbers = count(1)
    return tuple(
        replace(leaf, place=place, number=next(numbers) if isinstance(leaf.item, Step) else 0)
        for place, leaf in enumerate(found)
    )


def side_by_side(one: Leaf, other: Leaf) -> bool:
    """True if neither has to wait for the other by where they stand (an ``after`` may still say so)."""
    for mine, theirs in zip(one.path, other.path, strict=False):
        if mine != theirs:
            return mine[0] == theirs[0] and mine[1] in ("any", "lanes")
    return False


_NOBODY = Step(id="", who="", say=())


def _walk(body: Body, frames: Iterator[int], kind: str, around: Leaf) -> Iterator[Leaf]:
    frame = next(frames)
    for index, item in enumerate(body):
        here = replace(around, path=(*around.path, (frame, kind, index)))
        match item:
            case Step() | Hold():
                yield replace(here, id=item.id, item=item)
            case Stage(body=inner):
                yield from _walk(inner, frames, "seq", here)
            case AnyOrder(body=inner):
                yield from _walk(inner, frames, "any", here)
            case Lanes(lanes=lanes):
                beside = next(frames)
                for number, lane in enumerate(lanes):
                    inside = replace(here, path=(*here.path, (beside, "lanes", number)), lane=lane.who)
                    yield from _walk(lane.body, frames, "seq", inside)
            case Choose():
                yield replace(here, id=item.id, item=item)
                beside = next(frames)
                for number, outcome in enumerate(item.outcomes):
                    shelter = (*here.sheltered, f"{item.id}:{number}")
                    inside = replace(here, path=(*here.path, (beside, "choose", number)), sheltered=shelter)
                    yield from _walk(outcome.body, frames, "seq", inside)
            case Repeat():
                yield replace(here, id=item.id, item=item)
                yield from _walk(item.body, frames, "seq", replace(here, sheltered=(*here.sheltered, item.id)))
            case Meet():
                pass
