"""What a document says, whatever program wrote it: blocks in the order of reading."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Sort(StrEnum):
    """What a block is in its document."""

    TITLE = "title"
    HEADING = "heading"
    PARAGRAPH = "paragraph"
    ITEM = "item"
    """A line of a list."""
    ROW = "row"
    """A row of a table."""
    BESIDE = "beside"
    """Something outside the running text: a page header, a footnote, a picture's description, a struck-out word."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One paragraph, line or row. ``place`` tells a person where it stands in the document."""

    sort: Sort
    text: str
    place: str
    level: int = 0
    """Of a heading from 1; of a line of a list how deep it stands, from 0."""
    number: str = ""
    """As the document prints it."""
    cells: tuple[str, ...] = ()
    table: int = 0
    """Which table of the document a row belongs to, from 1."""
    ticked: bool | None = None
    """Of a line with a box: whether it is ticked. None: it has no box."""
    what: str = ""
    """Of what stands beside the text: what it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A document that was read."""

    blocks: tuple[Block, ...]
    remarks: tuple[str, ...] = ()
    """What the reading itself must tell, such as that there are tracked changes."""


class UnreadableError(Exception):
    """The document can't be read; the text says why, ``mend`` what to do."""

    def __init__(self, message: str, mend: str) -> None:
        super().__init__(message)
        self.mend = mend
