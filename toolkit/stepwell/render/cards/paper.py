"""The papers a card can be laid out on. A4 is the card; A5 is for an emergency card that passes there as well."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Lengths in mm. ``name`` is the typesetter's, ``said`` the reader's.

    ``foot_characters``: about how many characters of the footer's 10 point type fit on one line. ``page_number``: how
    many of them the page number takes from the first line, where that has to be reckoned with. ``title``: the title's
    size as a part of that on A4; a title is read from where the lines are, and is never below them.
    """

    name: str
    said: str
    height: float
    left: float
    right: float
    foot_characters: int
    page_number: int
    title: float


A4 = Paper(name="a4", said="A4", height=297.0, left=20.0, right=12.0, foot_characters=106, page_number=0, title=1.0)
A5 = Paper(name="a5", said="A5", height=210.0, left=12.0, right=10.0, foot_characters=72, page_number=18, title=0.72)
PAPERS = {paper.name: paper for paper in (A4, A5)}
