"""Whole items of a list: added, moved with their comments, taken away."""

from __future__ import annotations

from stepwell.authoring.editing.edit import Add, Delete, EditError, Move, parted
from stepwell.authoring.editing.layout import BY_HAND, Block, Lines, block_of
from stepwell.authoring.editing.meaning import LOST
from stepwell.authoring.editing.splice import Piece
from stepwell.authoring.editing.written import block
from stepwell.source.nodes import Listing, Node


def add(lines: Lines, into: Listing, edit: Add) -> list[Piece]:
    """The pieces that put a new item into a list."""
    blocks = _blocks(lines, into)
    column = blocks[0].column
    text = f"{' ' * column}- {block(edit.item, column + 2)}\n"
    return [_put_in(lines, blocks, edit.index, text)]


def move(lines: Lines, source: Listing, into: Listing, edit: Move) -> list[Piece]:
    """The pieces that take an item out of one list and put it into another, or elsewhere in the same one."""
    _, number = parted(edit.at)
    if f"{edit.to}/".startswith(f"{edit.at}/"):
        raise EditError("A group can't be moved into itself.")
    blocks = _blocks(lines, source)
    if number >= len(blocks):
        raise LOST
    moved = blocks[number]
    column = blocks[0].column
    if into is source:
        rest = [*blocks[:number], *blocks[number + 1 :]]
    else:
        rest = _blocks(lines, into)
        column = rest[0].column
    text = _shifted(lines.text[moved.start : moved.end], column - moved.column)
    return [Piece(start=moved.start, end=moved.end, text=""), _put_in(lines, rest, edit.index, _closed(text))]


def delete(lines: Lines, source: Listing, edit: Delete) -> list[Piece]:
    """The piece that takes an item away."""
    _, number = parted(edit.at)
    if number >= len(source.items):
        raise LOST
    gone = block_of(lines, source.items[number])
    return [Piece(start=gone.start, end=gone.end, text="")]


def listing(node: Node | None) -> Listing:
    """The node as a list. Raises EditError."""
    if not isinstance(node, Listing):
        raise LOST
    return node


def _blocks(lines: Lines, of: Listing) -> list[Block]:
    if not of.items:
        raise EditError("There is no item in this list yet.", BY_HAND)
    found = [block_of(lines, item) for item in of.items]
    if any(one.column != found[0].column for one in found):
        raise EditError("The items of this list do not stand below each other.", BY_HAND)
    return found


def _put_in(lines: Lines, blocks: list[Block], index: int, text: str) -> Piece:
    if not 0 <= index <= len(blocks):
        raise LOST
    at = blocks[index].start if index < len(blocks) else blocks[-1].end
    newline = "\n" if at == len(lines.text) and not lines.text.endswith("\n") else ""
    return Piece(start=at, end=at, text=newline + text)


def _closed(text: str) -> str:
    return text if text.endswith("\n") else text + "\n"


def _shifted(text: str, by: int) -> str:
    """The lines further to the right (or to the left, where ``by`` is negative)."""
    if by == 0:
        return text
    out = []
    for line in text.splitlines(keepends=True):
        if not line.strip():
            out.append(line)
        elif by > 0:
            out.append(" " * by + line)
        else:
            lead = len(line) - len(line.lstrip(" "))
            out.append(line[min(-by, lead) :])
    return "".join(out)
