"""Where a page of a routine card ends, and what to check again when somebody goes on after stopping there.

Only the ends of whole top-level blocks are offered. What to check again is what the block's last line (or hold) itself
expects: anything earlier may have been changed on purpose since.
"""

from __future__ import annotations

from stepwell.publish.canonical import Plain, plain_data
from stepwell.publish.sheet import (
    AnyOrderBlock,
    ExpectLine,
    HoldBar,
    Items,
    LanesBlock,
    QuestionBlock,
    RepeatBlock,
    Sheet,
    SheetItem,
    SheetText,
    StageBlock,
    StepLine,
    TextRun,
)
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import PAGE_MM

BAR_MM = 26.0
"""Room that the stop bar needs below the block."""
_MOST = 4
EARLIEST = 0.45
"""A page is not ended before this part of it is filled (house threshold)."""


def next_stop(layout: Layout, sheet: Sheet, stops: dict[int, SheetTexts], foot_mm: float) -> int | None:
    """The top-level item to end the first page with that has no stop yet, or None if every page is settled."""
    ended = {place.page for at in stops if (place := layout.place("item", str(at), "end")) is not None}
    for page in range(1, layout.pages):
        if page in ended:
            continue
        for at in range(len(sheet.items) - 2, -1, -1):
            end, start = layout.place("item", str(at), "end"), layout.place("item", str(at + 1), "start")
            if end is None or start is None or end.page != page or at in stops:
                continue
            if EARLIEST * PAGE_MM < end.y < PAGE_MM - foot_mm - BAR_MM and not isinstance(sheet.items[at], StepLine):
                return at
    return None


SheetTexts = tuple[SheetText, ...]


def check_again(item: SheetItem) -> SheetTexts:
    """What to check after a stop behind this block."""
    found = tuple(line.text for line in _last_expected(item))
    return found or ((TextRun("read the last ticked line once more and see that it is still so"),),)


def stop_data(stops: dict[int, SheetTexts]) -> Plain:
    """The stops as plain data for the template."""
    return {str(at): {"check": plain_data(texts)} for at, texts in sorted(stops.items())}


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
        case QuestionBlock():
            return ()


def _last_of(items: Items) -> tuple[ExpectLine, ...]:
    return _last_expected(items[-1]) if items else ()
