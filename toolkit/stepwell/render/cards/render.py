"""One sheet as a card: the PDF, its pages, and what its layout has to answer for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from stepwell.diagnostics.finding import Finding
from stepwell.publish.canonical import Plain, plain_data
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.clean import Cleaner
from stepwell.render.cards.engine import Draft, Engine, default_engine
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import PAGE_MM, Breaks, foot_height_mm, page_data
from stepwell.render.cards.page_rules import page_findings
from stepwell.render.cards.places import without_repeats
from stepwell.render.cards.sizes import LARGEST_SCALE, Sizes, least_scale, sizes_at
from stepwell.render.cards.start import Placed, Start, first_try, left_out, legible, settled
from stepwell.render.cards.stops import end_data, next_end

_ROUNDS = 5
"""Halvings of the scale when an emergency card is fitted to its side: to within one part in 90."""
_MOST_ENDS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class CardResult:
    """``pdf`` is PDF/A-2a and PDF/UA-1. ``sizes`` are those its lines are set in."""

    pdf: bytes
    pages: int
    findings: tuple[Finding, ...]
    sizes: Sizes


@dataclass(frozen=True, slots=True, kw_only=True)
class _Card:
    """What one layout attempt is made from."""

    engine: Engine
    sheet: Sheet
    as_of: date
    plain: Plain
    cleaner: Cleaner
    start: Placed | None = None

    def draft(self, scale: float, breaks: Breaks) -> tuple[Draft, Sizes]:
        sizes = sizes_at(self.sheet.reading_distance_mm, self.engine.main_font, scale)
        start = None if self.start is None else self.start.plain()
        page = page_data(self.sheet, self.as_of, sizes, breaks, start)
        # All but the code's own SVG, which holds no author's text and needs its line breaks.
        cleaned = {key: value if key == "qr" else self.cleaner.clean(value) for key, value in page.items()}
        return self.engine.open(self.plain, cleaned), sizes

    def loose(self, scale: float) -> frozenset[str]:
        draft, _ = self.draft(scale, Breaks())
        return draft.layout().too_long(PAGE_MM - foot_height_mm(self.sheet, self.as_of))


def render_card(sheet: Sheet, *, as_of: date, engine: Engine | None = None, start: Start | None = None) -> CardResult:
    """Lay out a sheet. An emergency card is fitted to one side; any other card is set at the preferred size.

    ``start``: the circuit before the first line, for a card that shows it. Faults of the layout are returned as findings
    (SW401 to SW406, SW408). Raises EngineError if the tool itself fails.
    """
    engine = engine or default_engine()
    cleaner = Cleaner(characters=engine.characters)
    card = _Card(
        engine=engine, sheet=sheet, as_of=as_of, plain=cleaner.clean(without_repeats(plain_data(sheet))), cleaner=cleaner
    )
    missing: tuple[Finding, ...] = ()
    if start is not None:
        card, missing = _with_start(card, start)
    draft, sizes, layout = _fitted(card) if sheet.kind == "emergency" else _paged(card)
    day = sheet.release.approved if sheet.release else as_of
    found = (*page_findings(sheet, layout, sizes, engine.main_font), *missing, *cleaner.findings(sheet.id))
    return CardResult(pdf=draft.pdf(day), pages=layout.pages, findings=found, sizes=sizes)


def _with_start(card: _Card, start: Start) -> tuple[_Card, tuple[Finding, ...]]:
    """The card with the drawing where it can be read, or without it and a finding."""
    font, foot = card.engine.main_font, foot_height_mm(card.sheet, card.as_of)
    placed = first_try(start)
    for _ in range(2):
        tried = replace(card, start=placed)
        placed = settled(placed, tried.draft(1.0, Breaks())[0].layout(), card.sheet, font, foot)
        if not legible(placed, card.sheet, font):
            return card, (left_out(placed, card.sheet, font),)
        if placed is tried.start:
            break
    return replace(card, start=placed), ()


def _fitted(card: _Card) -> tuple[Draft, Sizes, Layout]:
    """The largest type at which the card is one side; the smallest permitted type if there is none."""

    def attempt(scale: float) -> tuple[Draft, Sizes, Layout]:
        draft, sizes = card.draft(scale, breaks)
        return draft, sizes, draft.layout()

    low, high = least_scale(), LARGEST_SCALE
    breaks = Breaks(loose=card.loose(low))
    best = attempt(high)
    if best[2].pages == 1:
        return best
    best = attempt(low)
    if best[2].pages > 1:
        return best
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        tried = attempt(middle)
        if tried[2].pages == 1:
            low, best = middle, tried
        else:
            high = middle
    return best


def _paged(card: _Card) -> tuple[Draft, Sizes, Layout]:
    """Pages that end with whole blocks where that is possible; the others say that the block goes on overleaf."""
    foot = foot_height_mm(card.sheet, card.as_of)
    ends: tuple[int, ...] = ()
    breaks = Breaks(loose=card.loose(1.0))
    layout = card.draft(1.0, breaks)[0].layout()
    for _ in range(_MOST_ENDS):
        at = next_end(layout, card.sheet, ends, foot)
        if at is None:
            break
        ends = (*ends, at)
        breaks = replace(breaks, ends=end_data(card.sheet, ends))
        layout = card.draft(1.0, breaks)[0].layout()
    ended = {place.page for at in ends if (place := layout.place("item", str(at), "end")) is not None}
    unstopped = tuple(page for page in range(1, layout.pages) if page not in ended)
    draft, sizes = card.draft(1.0, replace(breaks, unstopped=unstopped))
    return draft, sizes, draft.layout()
