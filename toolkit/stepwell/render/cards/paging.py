"""A card over several pages: which of its blocks end a page, foretold from one layout on a page without end."""

from __future__ import annotations

from dataclasses import dataclass, replace

from stepwell.diagnostics.finding import Finding
from stepwell.publish.sheet import LanesBlock, Sheet
from stepwell.render.cards.attempt import Attempt, Card
from stepwell.render.cards.facts import Layout, Mark
from stepwell.render.cards.page_data import TOP_MM, Breaks
from stepwell.render.cards.start import Placed, Start, first_try, left_out, legible, settled
from stepwell.render.cards.stops import best_end, end_data, ends_well, next_end

_MOST_ENDS = 40
_MOST_ROUNDS = 6
"""A drawing has found its height after two or three."""
_WHOLE = ("front", "step", "hold", "question", "drawing", "close")
_HOLD_INSET = 2.8
LANE_HEAD_MM = 9.0
"""What the head of two lanes takes at the top of every page that they run on to."""


def paged(card: Card, start: Start | None) -> tuple[Attempt, tuple[Finding, ...]]:
    """Pages that end with whole blocks where that is possible; the others say that the block goes on overleaf."""
    card, tall, found = _with_start(card, start)
    loose = _too_long(tall, card.bottom - TOP_MM)
    foretold = _foretold(tall, card)
    ends, unstopped = foretold.ends, foretold.unstopped
    made = _try(card, ends, unstopped, loose)
    kept = _as_foretold(made.layout, card, ends)
    if kept != ends:
        ends, unstopped = kept, ()
        made = _try(card, ends, (), loose)
    for _ in range(_MOST_ENDS):
        at = next_end(made.layout, card.sheet, ends, card.bottom)
        if at is None:
            break
        ends = (*ends, at)
        made = _try(card, ends, (), loose)
        unstopped = ()
    needed = _unstopped(made.layout, ends)
    if needed != unstopped:
        made = _try(card, ends, needed, loose)
    return made, found


def _try(card: Card, ends: tuple[int, ...], unstopped: tuple[int, ...], loose: frozenset[str]) -> Attempt:
    told = end_data(card.sheet, ends) if ends else None
    return card.attempt(1.0, Breaks(ends=told, unstopped=unstopped, loose=loose))


def _with_start(card: Card, start: Start | None) -> tuple[Card, Layout, tuple[Finding, ...]]:
    """The card with the drawing where it can be read, or without it and a finding; and its layout without pages."""
    if start is None:
        return card, _without_pages(card), ()
    font = card.engine.main_font
    placed = first_try(start, card.sheet, font, card.bottom)
    known: Layout | None = None
    for rounds in range(_MOST_ROUNDS):
        if not legible(placed, card.sheet, font):
            break
        tried = replace(card, start=placed)
        layout = known or _without_pages(tried)
        before, placed = placed, settled(placed, layout, card.sheet, font, card.bottom)
        if placed is before or rounds == _MOST_ROUNDS - 1:
            return tried, layout, ()
        known = _with_another_height(layout, before, placed)
    return card, _without_pages(card), (left_out(placed, card.sheet, font),)


def _without_pages(card: Card) -> Layout:
    return card.attempt(1.0, Breaks(tall=True)).layout


def _with_another_height(layout: Layout, before: Placed, after: Placed) -> Layout | None:
    """The layout without pages with the drawing higher or lower in its place; None where it goes to another one."""
    end = layout.place("drawing", "start", "end")
    if before.place is not after.place or end is None:
        return None
    return layout.moved(end.y, after.height - before.height)


def _too_long(tall: Layout, room: float) -> frozenset[str]:
    """Ids of steps and holds that are higher than a page."""
    starts = {(mark.sort, mark.id): mark.y for mark in tall.marks if mark.at == "start"}
    ends = [mark for mark in tall.marks if mark.sort in ("step", "hold") and mark.at == "end"]
    inset = {"step": 0.0, "hold": _HOLD_INSET}
    return frozenset(m.id for m in ends if m.y - starts[m.sort, m.id] + inset[m.sort] > room - 0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Foretold:
    ends: tuple[int, ...]
    unstopped: tuple[int, ...]


def _foretold(tall: Layout, card: Card) -> _Foretold:
    """What would end each page if nothing but whole lines and blocks were moved."""
    items = {int(mark.id): mark.y for mark in tall.marks if (mark.sort, mark.at) == ("item", "end")}
    begins = {int(mark.id): mark.y for mark in tall.marks if (mark.sort, mark.at) == ("item", "start")}
    pieces = _pieces(tall.marks, frozenset(begins.values()))
    ends: list[int] = []
    unstopped: list[int] = []
    page, base = 1, TOP_MM
    while page <= _MOST_ENDS:
        low = base + card.bottom - TOP_MM
        cut = next((top for top, bottom in pieces if bottom > low and top > base + 1.0), None)
        if cut is None:
            break
        here = {at: y - base + TOP_MM for at, y in items.items() if base < y <= cut + 0.01}
        at = best_end(card.sheet, here, card.bottom)
        if at is None:
            unstopped.append(page)
            # Lanes that run on say again whose they are.
            base = cut - (LANE_HEAD_MM if _in_lanes(card.sheet, begins, items, cut) else 0.0)
        else:
            ends.append(at)
            base = begins[at + 1]
        page += 1
    return _Foretold(ends=tuple(ends), unstopped=tuple(unstopped))


def _pieces(marks: tuple[Mark, ...], begins: frozenset[float]) -> list[tuple[float, float]]:
    """Top and bottom of all that is never split; the first line of a block has the block's heading with it."""
    ends = {(mark.sort, mark.id): mark.y for mark in marks if mark.at == "end"}
    found: list[tuple[float, float]] = []
    heading: float | None = None
    for mark in marks:
        if mark.at != "start":
            continue
        if mark.sort == "item" or (mark.sort, mark.id) == ("drawing", "room"):
            heading = mark.y
        elif mark.sort in _WHOLE and (mark.sort, mark.id) in ends:
            found.append((mark.y if heading is None else heading, ends[mark.sort, mark.id]))
            heading = None
    return sorted(found)


def _in_lanes(sheet: Sheet, begins: dict[int, float], items: dict[int, float], y: float) -> bool:
    return any(isinstance(one, LanesBlock) and begins[at] < y < items[at] - 1.0 for at, one in enumerate(sheet.items))


def _as_foretold(layout: Layout, card: Card, ends: tuple[int, ...]) -> tuple[int, ...]:
    """The ends up to the first that does not end its page well, or shares it with another."""
    kept: list[int] = []
    page = 0
    for at in ends:
        place = layout.place("item", str(at), "end")
        if place is None or place.page == page or not ends_well(layout, card.sheet, at, place.page, card.bottom):
            break
        page = place.page
        kept.append(at)
    return tuple(kept)


def _unstopped(layout: Layout, ends: tuple[int, ...]) -> tuple[int, ...]:
    ended = {place.page for at in ends if (place := layout.place("item", str(at), "end")) is not None}
    return tuple(page for page in range(1, layout.pages) if page not in ended)
