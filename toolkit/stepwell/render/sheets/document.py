"""A sheet as a list of blocks, before any layout."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Title:
    """The name of the sheet."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading; ``level`` is 2 or 3."""

    words: str
    level: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Para:
    """A paragraph, with a bold beginning if ``head`` is given."""

    words: str
    head: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A line in a frame that says what of the sheet stands in English; ``language`` is that of the line."""

    words: str
    language: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A cell of a table; ``more`` are lines of their own below the first."""

    words: str
    strong: bool = False
    more: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A box to tick, large enough for gloves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of a table; no line is split across pages."""

    cells: tuple[Words | Tick, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """``columns`` are widths: ``auto``, ``box`` for ticks, or shares of what is left."""

    id: str
    columns: tuple[str, ...]
    head: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """An SVG with its text alternative; ``width`` in mm, or else as large as a page allows."""

    id: str
    svg: str
    alt: str
    caption: str = ""
    width: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """Lines for names, signatures and dates."""

    title: str
    roles: tuple[str, ...]
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of an index."""

    id: str
    title: str
    words: str
    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label with a square code."""

    id: str
    title: str
    words: str
    code: str
    qr: str
    qr_alt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """A page full of labels."""

    items: tuple[Label, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """The next block begins on a page of its own."""


Block = Title | Heading | Para | Note | Table | Picture | Sign | Entry | Labels | Break


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One sheet. ``sort`` and ``id`` name its file, ``sort_words`` stand at the top of every page, ``foot`` at its bottom
    (the first line beside the page number). ``paper`` is ``a4`` or ``a6``. ``most_pages``: 0 is any number.
    ``scales`` are how large its entries may be set, the largest first, at least one."""

    sort: str
    id: str
    title: str
    sort_words: str
    language: str
    unit: str
    foot: tuple[str, ...]
    blocks: tuple[Block, ...]
    draft: bool = True
    paper: str = "a4"
    most_pages: int = 0
    scales: tuple[str, ...] = ("1",)
    procedure: str | None = None

    @property
    def path(self) -> str:
        """Where its file is put, below the folder of all sheets."""
        return f"{self.sort}/{self.id}.pdf"
