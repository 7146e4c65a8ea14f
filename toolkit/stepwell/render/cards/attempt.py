"""One sheet with all that an attempt at its layout is made from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stepwell.publish.canonical import Plain
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.clean import Cleaner
from stepwell.render.cards.engine import Draft, Engine
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import Breaks, foot_height_mm, page_data
from stepwell.render.cards.paper import A4, Paper
from stepwell.render.cards.sizes import Sizes, sizes_at
from stepwell.render.cards.start import Placed


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """A draft with its sizes and where everything lies on it."""

    draft: Draft
    sizes: Sizes
    layout: Layout


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """What is laid out: ``plain`` is the sheet as data, ``start`` the drawing where there is one."""

    engine: Engine
    sheet: Sheet
    as_of: date
    plain: Plain
    cleaner: Cleaner
    start: Placed | None = None
    paper: Paper = A4

    @property
    def bottom(self) -> float:
        """Where the foot of a page begins, in mm from its top."""
        return self.paper.height - foot_height_mm(self.sheet, self.as_of, self.paper)

    def attempt(self, scale: float, breaks: Breaks) -> Attempt:
        """Lay it out."""
        sizes = sizes_at(self.sheet.reading_distance_mm, self.engine.main_font, scale)
        start = None if self.start is None else self.start.plain(drawn=not breaks.tall)
        page = page_data(self.sheet, self.as_of, sizes, breaks, start, self.paper)
        # All but the code's own SVG, which holds no author's text and needs its line breaks.
        cleaned = {key: value if key == "qr" else self.cleaner.clean(value) for key, value in page.items()}
        draft = self.engine.open(self.plain, cleaned)
        return Attempt(draft=draft, sizes=sizes, layout=draft.layout())
