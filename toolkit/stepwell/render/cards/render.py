"""One sheet as a card: the PDF, its pages, and what its layout has to answer for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stepwell.diagnostics.finding import Finding
from stepwell.publish.canonical import plain_data
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.attempt import Card
from stepwell.render.cards.clean import Cleaner
from stepwell.render.cards.engine import Engine, default_engine
from stepwell.render.cards.fit import fitted
from stepwell.render.cards.page_rules import page_findings
from stepwell.render.cards.paging import paged
from stepwell.render.cards.paper import A4, Paper
from stepwell.render.cards.places import without_repeats
from stepwell.render.cards.sizes import Sizes
from stepwell.render.cards.start import Start


@dataclass(frozen=True, slots=True, kw_only=True)
class CardResult:
    """``pdf`` is PDF/A-2a and PDF/UA-1. ``sizes`` are those its lines are set in."""

    pdf: bytes
    pages: int
    findings: tuple[Finding, ...]
    sizes: Sizes


def render_card(
    sheet: Sheet, *, as_of: date, engine: Engine | None = None, start: Start | None = None, paper: Paper = A4
) -> CardResult:
    """Lay out a sheet. An emergency card is fitted to one side; any other card is set at the preferred size.

    ``start``: the circuit before the first line, for a card that shows it. Faults of the layout are returned as findings
    (SW401 to SW406, SW408). Raises EngineError if the tool itself fails, ValueError for a released card, or one that
    is no emergency card, on another paper than A4: a release vouches for the bytes of the A4 card alone.
    """
    if paper != A4 and (sheet.release is not None or sheet.kind != "emergency"):
        raise ValueError(f"{sheet.id} is laid out on A4 alone")
    engine = engine or default_engine()
    cleaner = Cleaner(characters=engine.characters)
    plain = cleaner.clean(without_repeats(plain_data(sheet)))
    card = Card(engine=engine, sheet=sheet, as_of=as_of, plain=plain, cleaner=cleaner, paper=paper)
    made, missing = (fitted(card), ()) if sheet.kind == "emergency" else paged(card, start)
    day = sheet.release.approved if sheet.release else as_of
    found = (
        *page_findings(sheet, made.layout, made.sizes, engine.main_font, paper),
        *missing,
        *cleaner.findings(sheet.id),
    )
    return CardResult(pdf=made.draft.pdf(day), pages=made.layout.pages, findings=found, sizes=made.sizes)
