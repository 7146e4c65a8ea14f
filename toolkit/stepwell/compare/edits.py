"""A change as people speak of it: one edit is one thing to read and to tick."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from stepwell.compare.ops import Op


class Sort(StrEnum):
    """What sort of change an edit is."""

    ADDED = "added"
    REMOVED = "removed"
    MOVED = "moved"
    REWORDED = "reworded"
    CHANGED = "changed"
    SPLIT = "split"
    MERGED = "merged"
    WRAPPED = "wrapped"
    UNWRAPPED = "unwrapped"
    REIDENTIFIED = "re-identified"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One change.

    ``document`` is ``procedure shift-check``; ``item`` an id (the old one of what was kept) or a name in it, empty for the
    document itself; ``others`` are the ids of what else belongs to it (the new half of a split, a block that moves).
    ``subject`` is what people call it. ``old`` and ``new`` are the two sides in words. ``weaker``: why it takes a
    safeguard away; empty if it does not. ``reaches``: places that change with it, such as steps that use a number.
    ``ops`` are the changes to the trees, each with the document it belongs to.
    """

    sort: Sort
    document: str
    item: str = ""
    field: str = ""
    others: tuple[str, ...] = ()
    subject: str = ""
    old: str = ""
    new: str = ""
    weaker: tuple[str, ...] = ()
    reaches: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    """The whole of what is added or removed, line by line, where it is a document."""
    steps: tuple[str, ...] = ()
    """Ids of the steps that it touches, old ones where there is one."""
    ops: tuple[tuple[str, Op], ...] = ()
    mark: str = ""
    """``wording`` where nothing but words differs; it may still matter."""

    @property
    def kind(self) -> str:
        """The kind of the document: procedure, rig, rule, unit, waiver, file ..."""
        return self.document.partition(" ")[0]
