"""An edit carried out on a text: the new text means exactly what was asked for, or nothing is changed.

Every edit is worked out twice: as pieces of the text, and on the values alone. The text that comes out is read again; it
must hold the very values that were meant, break no form that was whole, and have kept every comment that did not belong
to what was taken away.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import cast

from stepwell.authoring.editing import items
from stepwell.authoring.editing.edit import Accept, Add, Delete, Edit, EditError, Move, Plain, Put, keys_of, parted
from stepwell.authoring.editing.layout import BY_HAND, Lines, lines_of
from stepwell.authoring.editing.meaning import LOST, meant
from stepwell.authoring.editing.proposed import accepted_text, proposal_of
from stepwell.authoring.editing.put import put, take
from stepwell.authoring.editing.splice import Piece, difference, spliced
from stepwell.source.decode import decode
from stepwell.source.nodes import Listing, Mapping, Node, plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A text as the loader sees it, and its tree."""

    text: str
    root: Node
    faults: int


def read(data: bytes) -> Read:
    """The text of a file's bytes. Raises EditError where there is no tree to edit."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        raise EditError("The file is not saved as UTF-8, so it can't be changed here.", "Save it as UTF-8 first.") from None
    notes = Notes("")
    text = decode(data, notes)
    root = None if text is None else parse_text(text, notes)
    if text is None or root is None:
        raise EditError("The file can't be read as it stands, so it can't be changed here.", BY_HAND)
    return Read(text=text, root=root, faults=len(notes.findings))


def applied(data: bytes, edit: Edit) -> bytes:
    """The bytes after the edit. What it does not touch stays as it is. Raises EditError; nothing is changed then."""
    before = read(data)
    after = _applied(before, edit)
    raw = data.decode("utf-8")
    return _carried(raw, before.text, after).encode("utf-8")


def _applied(before: Read, edit: Edit) -> str:
    lines = lines_of(before.text, before.root)
    accepted = proposal_of(lines, node_at(before.root, edit.at)) if isinstance(edit, Accept) else None
    wanted = meant(cast(Plain, plain_value(before.root)), edit, accepted)
    try:
        text = accepted_text(before.text, before.root, edit.at) if isinstance(edit, Accept) else spliced(
            before.text, _pieces(lines, before.root, edit)
        )  # fmt: skip
    except ValueError as error:
        raise EditError("This place is written in a way that can't be changed here.", BY_HAND) from error
    notes = Notes("")
    root = parse_text(text, notes)
    if root is None or len(notes.findings) > before.faults or not _same(plain_value(root), wanted):
        raise EditError("This place is written in a way that can't be changed here.", BY_HAND)
    if not isinstance(edit, Accept):
        _all_kept(lines, lines_of(text, root), _gone(lines, before.root, edit))
    return text


def _pieces(lines: Lines, root: Node, edit: Edit) -> list[Piece]:
    match edit:
        case Put():
            mapping = node_at(root, edit.at)
            if not isinstance(mapping, Mapping):
                raise LOST
            return put(lines, mapping, edit.key, edit.value) if edit.present else take(lines, mapping, edit.key)
        case Add():
            return items.add(lines, items.listing(node_at(root, edit.to)), edit)
        case Delete():
            return items.delete(lines, items.listing(node_at(root, parted(edit.at)[0])), edit)
        case Move():
            source = items.listing(node_at(root, parted(edit.at)[0]))
            return items.move(lines, source, items.listing(node_at(root, edit.to)), edit)
        case Accept():
            return []


def node_at(root: Node, pointer: str) -> Node:
    """The node at a pointer. Raises EditError."""
    here = root
    for token in keys_of(pointer):
        if isinstance(here, Mapping) and token in here.entries:
            here = here.entries[token].value
        elif isinstance(here, Listing) and token.isascii() and token.isdigit() and int(token) < len(here.items):
            here = here.items[int(token)]
        else:
            raise LOST
    return here


def _same(one: object, other: object) -> bool:
    """Equal, and of the same kinds: 1 is neither true nor 1.0 in a file."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_same(one[k], other[k]) for k in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(_same(a, b) for a, b in zip(one, other, strict=True))
    return type(one) is type(other) and one == other


def _gone(lines: Lines, root: Node, edit: Edit) -> Counter[str]:
    """The comments that belong to what the edit takes away."""
    if not isinstance(edit, Delete):
        return Counter()
    source = items.listing(node_at(root, parted(edit.at)[0]))
    pieces = items.delete(lines, source, edit)
    return Counter(one.text for piece in pieces for one in lines.comments_in(piece.start, piece.end))


def _all_kept(before: Lines, after: Lines, gone: Counter[str]) -> None:
    lost = Counter(one.text for one in before.comments) - gone - Counter(one.text for one in after.comments)
    if lost:
        raise EditError(f"The comment `{next(iter(lost))}` would be lost.", BY_HAND)


def _carried(raw: str, before: str, after: str) -> str:
    """The change from ``before`` to ``after`` made in the text as it is stored: with its mark at the start, its tabs and
    its own line ends."""
    piece = difference(before, after)
    places = _places(raw)
    newline = "\r\n" if "\r\n" in raw else "\n"
    text = piece.text.replace("\n", newline)
    return raw[: places[piece.start]] + text + raw[places[piece.end] :]


def _places(raw: str) -> list[int]:
    """For each character of the text as it is read, and for its end, where it stands in the text as it is stored."""
    at = 1 if raw.startswith("\ufeff") else 0
    found = []
    while at < len(raw):
        found.append(at)
        at += 2 if raw.startswith("\r\n", at) else 1
    return [*found, len(raw)]
