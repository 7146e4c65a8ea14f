"""Where the items of a procedure stand in its file: on which lines, with the comments that belong to them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from stepwell.source.nodes import Listing, Mapping, Node, Scalar

_DASH = re.compile(r"^( *)- +$")


@dataclass(frozen=True, slots=True)
class FileItem:
    """One item of a list that is written as a block. Lines count from 0; ``end`` is the first one behind it.

    ``start`` is the line of the first comment directly above it, or else ``dash``, the line with its dash. ``around``: the
    item in whose list it stands, if that is an item too; ``alone``: it is the only one of that list.
    """

    node: Mapping
    start: int
    dash: int
    end: int
    indent: int
    alone: bool
    around: FileItem | None


def find_item(root: Node, lines: list[str], name: str) -> FileItem | None:
    """The item with this id; None where none is written with just this id, or where it is not written as a block."""
    found = [item for item in _items(root, lines, None) if _id(item.node) == name]
    return found[0] if len(found) == 1 else None


def line_behind(node: Node, lines: list[str], indent: int) -> int:
    """The first line behind a value, counted from 0; a line that is put in further than ``indent`` still belongs to it."""
    span = node.span
    end = span.end_line if span.end_column > 1 or span.end_line == span.line else span.end_line - 1
    while end < len(lines) and lines[end].strip() and _put_in(lines[end]) > indent:
        end += 1
    return end


def _id(node: Mapping) -> str:
    entry = node.get("id")
    return entry.value.text if entry is not None and isinstance(entry.value, Scalar) else ""


def _items(node: Node, lines: list[str], around: FileItem | None) -> Iterator[FileItem]:
    match node:
        case Listing(items=items):
            for item in items:
                here = _item(item, lines, len(items) == 1, around) if isinstance(item, Mapping) else None
                if here is not None:
                    yield here
                yield from _items(item, lines, here)
        case Mapping(entries=entries):
            for entry in entries.values():
                yield from _items(entry.value, lines, around)
        case Scalar():
            pass


def _item(node: Mapping, lines: list[str], alone: bool, around: FileItem | None) -> FileItem | None:
    dash = node.span.line - 1
    head = _DASH.match(lines[dash][: node.span.column - 1])
    if head is None:
        return None
    indent = len(head[1])
    start, end = dash, line_behind(node, lines, indent)
    while start > 0 and lines[start - 1].lstrip().startswith("#") and _put_in(lines[start - 1]) == indent:
        start -= 1
    return FileItem(node=node, start=start, dash=dash, end=end, indent=indent, alone=alone, around=around)


def _put_in(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
