"""What an author can ask for: one change of one item, told by where it stands in the tree of the file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

Plain: TypeAlias = "str | int | float | bool | list[Plain] | dict[str, Plain] | None"
"""A value as a file holds it, without its layout."""


class EditError(Exception):
    """The edit can't be made; nothing was changed. ``mend`` says what to do instead."""

    def __init__(self, message: str, mend: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.mend = mend


@dataclass(frozen=True, slots=True, kw_only=True)
class Put:
    """Give ``key`` of the item at the JSON pointer ``at`` this value; an empty pointer is the procedure itself.

    ``value`` is shared with nobody and never changed. Without ``present`` the key is taken away.
    """

    at: str
    key: str
    value: Plain = None
    present: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Add:
    """Put a new item into the list at ``to``, so that it is number ``index`` there (from 0)."""

    to: str
    index: int
    item: Plain


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Take the item at ``at`` and put it into the list at ``to``, so that it is number ``index`` there afterwards.

    Both pointers are those before the move.
    """

    at: str
    to: str
    index: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Delete:
    """Take an item away, with the comments that belong to it."""

    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Accept:
    """Turn on the action that was proposed for the step at ``at`` when its document was imported."""

    at: str


Edit: TypeAlias = Put | Add | Move | Delete | Accept


def keys_of(pointer: str) -> tuple[str, ...]:
    """The tokens of a JSON pointer."""
    return tuple(token.replace("~1", "/").replace("~0", "~") for token in pointer.split("/")[1:])


def parted(pointer: str) -> tuple[str, int]:
    """The list in which an item stands, and its number there. Raises EditError for what is no item of a list."""
    head, _, last = pointer.rpartition("/")
    if not head or not last.isascii() or not last.isdigit():
        raise EditError("This is no item of a list.")
    return head, int(last)
