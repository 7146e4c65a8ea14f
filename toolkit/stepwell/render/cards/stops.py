"""How a page of a card with several pages ends.

A page ends with a whole top-level block where that is possible. A place to stop is offered only beside a hold, because
there the author has said what must be so before anybody goes on; at any other page end a clamp may just have been
opened on purpose, and the card says to go on. What to check again after an interruption is what the block's last line
itself expects: anything earlier may have been changed on purpose since.
"""

from __future__ import annotations

from collections.abc import Mapping

from stepwell.model.language import Language
from stepwell.publish.canonical import Plain, plain_data
from stepwell.publish.sheet import (
    AnyOrderBlock,
    ExpectLine,
    HoldBar,
    Items,
    LanesBlock,
    MeetLine,
    QuestionBlock,
    RepeatBlock,
    Sheet,
    SheetItem,
    StageBlock,
    StepLine,
)
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import PAGE_MM
from stepwell.source.read_fixed_words import fixed_words

BAR_MM = 26.0
"""Room that the stop bar needs below the block."""
_MOST = 4
EARLIEST = 0.45
"""A page is not ended before this part of it is filled (house threshold)."""


def next_end(layout: Layout, sheet: Sheet, ends: tuple[int, ...], bottom: float) -> int | None:
    """The top-level item to end the first page with that has no settled end yet, or None if there is none.

    A block beside a hold comes before a fuller page. ``bottom`` is where the foot of a page begins, in mm.
    """
    ended = {place.page for at in ends if (place := layout.place("item", str(at), "end")) is not None}
    for page in range(1, layout.pages):
        if page in ended:
            continue
        places = {at: layout.place("item", str(at), "end") for at in range(len(sheet.items) - 1) if at not in ends}
        here = {at: place.y for at, place in places.items() if place is not None and place.page == page}
        found = best_end(sheet, here, bottom)
        if found is not None:
            return found
    return None


def best_end(sheet: Sheet, here: Mapping[int, float], bottom: float) -> int | None:
    """Of the top-level items that end on a page, each with where it does, the one to end the page with."""
    fitting = [at for at, y in here.items() if at < len(sheet.items) - 1 and _may_end(sheet, at, y, bottom)]
    return max(fitting, key=lambda at: (_beside_hold(sheet.items, at), at)) if fitting else None


def ends_well(layout: Layout, sheet: Sheet, at: int, page: int, bottom: float) -> bool:
    """Whether an item ends this page, and neither too early nor too low."""
    place = layout.place("item", str(at), "end")
    return place is not None and place.page == page and _may_end(sheet, at, place.y, bottom)


def _may_end(sheet: Sheet, at: int, y: float, bottom: float) -> bool:
    return not isinstance(sheet.items[at], StepLine) and EARLIEST * PAGE_MM < y < bottom - BAR_MM


def _beside_hold(items: Items, at: int) -> bool:
    return isinstance(items[at], HoldBar) or isinstance(items[at + 1], HoldBar)


def end_data(sheet: Sheet, ends: tuple[int, ...]) -> Plain:
    """The page ends as plain data for the template, by the index of the top-level item."""
    language = fixed_words(sheet.language)
    return {str(at): _end(sheet.items, at, language) for at in sorted(ends)}


def _end(items: Items, at: int, language: Language) -> Plain:
    def say(english: str) -> str:
        return language.say("card", english)

    if isinstance(items[at + 1], HoldBar):
        return {"head": say("A place to stop. Begin again with the hold overleaf."), "check": [], "stop": True}
    check = [plain_data(line.text) for line in _last_expected(items[at])]
    if isinstance(items[at], HoldBar):
        return {"head": say("A place to stop."), "check": [*check], "stop": True}
    head = say("Go on overleaf without a stop.") + (f" {say('Interrupted?')}" if check else "")
    return {"head": head, "check": [*check], "stop": False}


def _last_expected(item: SheetItem) -> tuple[ExpectLine, ...]:
    match item:
        case StepLine(expect=expect):
            return expect
        case HoldBar(until=until):
            return until
        case StageBlock(items=items):
            return _last_of(items)
        case AnyOrderBlock(items=items):
            # No line of an any-order block may undo another, or its order would matter.
            lines = (line for inner in items for line in _last_expected(inner))
            return tuple(line for line in lines if line.sort != "sight")[:_MOST]
        case LanesBlock(lanes=lanes):
            return tuple(line for lane in lanes for line in _last_of(lane.items))
        case RepeatBlock(until=until):
            return (ExpectLine(text=until, value=until, sort="fact"),)
        case QuestionBlock() | MeetLine():
            return ()


def _last_of(items: Items) -> tuple[ExpectLine, ...]:
    return _last_expected(items[-1]) if items else ()
