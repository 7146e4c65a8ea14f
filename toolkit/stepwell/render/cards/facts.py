"""Where things came to lie on the laid-out pages."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace

QUERY = (
    "query(<mark>).map(m => { let p = m.location().position(); (m.value.sort, m.value.id, m.value.at, p.page, p.y / 1mm) })"
)


FRAME_MM = 2.0
"""What the frame of the first actions takes below the last of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A place: ``at`` is ``start`` or ``end``, ``y`` is in mm from the top of the page."""

    sort: str
    id: str
    at: str
    page: int
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """All marks of a laid-out card, and how many pages it has."""

    pages: int
    marks: tuple[Mark, ...]

    def place(self, sort: str, name: str, at: str) -> Mark | None:
        """The first mark of that sort, id and side."""
        return next((m for m in self.marks if (m.sort, m.id, m.at) == (sort, name, at)), None)

    def split(self, sort: str) -> tuple[tuple[Mark, Mark], ...]:
        """Things of a sort that begin on one page and end on another."""
        starts = {m.id: m for m in self.marks if m.sort == sort and m.at == "start"}
        ends = {m.id: m for m in self.marks if m.sort == sort and m.at == "end"}
        return tuple((starts[i], ends[i]) for i in starts if i in ends and starts[i].page != ends[i].page)

    def moved(self, y: float, by: float) -> Layout:
        """As if what lies at ``y`` and below it lay ``by`` mm lower; of a layout on one page."""
        marks = tuple(replace(mark, y=mark.y + by) if mark.y >= y else mark for mark in self.marks)
        return Layout(pages=self.pages, marks=marks)

    def too_long(self, bottom: float) -> frozenset[str]:
        """Ids of steps and holds that run down to ``bottom`` (mm) of a page or beyond it: longer than a page."""
        ends = (m for m in self.marks if m.sort in ("step", "hold") and m.at == "end")
        return frozenset(m.id for m in ends if m.y > bottom - FRAME_MM - 0.5)


def read_layout(answer: str) -> Layout:
    """From the engine's JSON answer to ``QUERY``. The closing mark is the last thing on the last page."""
    marks = tuple(Mark(sort=s, id=i, at=a, page=p, y=float(y)) for s, i, a, p, y in json.loads(answer))
    return Layout(pages=max((mark.page for mark in marks), default=1), marks=marks)
