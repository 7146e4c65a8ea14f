"""A value put into a mapping, changed or taken away, touching no more of the text than that."""

from __future__ import annotations

from stepwell.authoring.editing.edit import EditError, Plain
from stepwell.authoring.editing.layout import BY_HAND, Lines, pad_of
from stepwell.authoring.editing.splice import Piece
from stepwell.authoring.editing.written import BLOCKS, entry, one_line
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar, plain_value
from stepwell.source.sections import PROCEDURE, STEP, WARN

ORDERS = (STEP.names, PROCEDURE.names, WARN.names)
"""The order in which people write keys; a new one goes to its place in it."""


def put(lines: Lines, mapping: Mapping, key: str, value: Plain, *, flow: bool = False) -> list[Piece]:
    """The pieces that make ``key`` of a mapping this value. ``flow``: the mapping stands within brackets or braces."""
    flow = flow or mapping.flow
    old = mapping.get(key)
    if old is None:
        return [_new(lines, mapping, key, value, flow=flow)]
    return _changed(lines, old, value, flow=flow)


def take(lines: Lines, mapping: Mapping, key: str) -> list[Piece]:
    """The pieces that take a key away; comments that stand in what goes stay, on lines of their own."""
    entries = list(mapping.entries.values())
    at = next((number for number, one in enumerate(entries) if one.key == key), None)
    if at is None:
        return []
    if len(entries) == 1:
        raise EditError(f"`{key}` stands there alone.", BY_HAND)
    if mapping.flow:
        return [_out_of_braces(lines, entries, at)]
    one = entries[at]
    start, end = lines.start(one.key_span), lines.next_line(_end(lines, one))
    begin = lines.line_start(one.key_span.line)
    saved = [comment.text for comment in lines.comments_in(start, end)]
    if lines.text[begin:start].strip():
        # The first key stands behind its dash: the next one moves up to it.
        after = lines.start(entries[at + 1].key_span)
        saved = [comment.text for comment in lines.comments_in(start, after)]
        column = len(lines.text[begin:start]) - len(lines.text[begin:start].lstrip(" "))
        pad = " " * column
        above = lines.line_start(one.key_span.line)
        return [
            Piece(start=above, end=above, text="".join(f"{pad}{text}\n" for text in saved)),
            Piece(start=start, end=after, text=""),
        ]
    pad = " " * (start - begin)
    return [Piece(start=begin, end=end, text="".join(f"{pad}{text}\n" for text in saved))]


def _out_of_braces(lines: Lines, entries: list[Entry], at: int) -> Piece:
    if at + 1 < len(entries):
        start, end = lines.start(entries[at].key_span), lines.start(entries[at + 1].key_span)
    else:
        start, end = _end(lines, entries[at - 1]), _end(lines, entries[at])
    if lines.comments_in(start, end):
        raise EditError(f"A comment stands within the braces at `{entries[at].key}`.", BY_HAND)
    return Piece(start=start, end=end, text="")


def _new(lines: Lines, mapping: Mapping, key: str, value: Plain, *, flow: bool) -> Piece:
    before = _before(list(mapping.entries.values()), key)
    end = _end(lines, before)
    if flow:
        return Piece(start=end, end=end, text=f", {one_line(key, flow=True)}: {one_line(value, flow=True)}")
    pad = pad_of(mapping.entries)
    at = lines.next_line(end)
    newline = "" if at == 0 or lines.text[at - 1] == "\n" else "\n"
    return Piece(start=at, end=at, text=f"{newline}{' ' * pad}{entry(key, value, pad)}\n")


def _before(entries: list[Entry], key: str) -> Entry:
    """The entry behind which a new key goes: the last of those that people write before it."""
    order = next((names for names in ORDERS if key in names and entries[0].key in names), None)
    if order is None:
        return entries[-1]
    place = order.index(key)
    return next((one for one in reversed(entries) if one.key in order and order.index(one.key) < place), entries[0])


def _end(lines: Lines, one: Entry) -> int:
    """Where the value of an entry ends; a value that is not there ends behind its colon."""
    return _colon(lines, one) if _absent(one.value) else lines.end(one.value.span)


def _absent(node: Node) -> bool:
    return isinstance(node, Scalar) and node.plain and node.text == ""


def _colon(lines: Lines, one: Entry) -> int:
    return lines.text.index(":", lines.end(one.key_span)) + 1


def _changed(lines: Lines, old: Entry, value: Plain, *, flow: bool) -> list[Piece]:
    if plain_value(old.value) == value and type(plain_value(old.value)) is type(value):
        return []
    inner = _inside(lines, old.value, value, flow=flow)
    if inner is not None:
        return inner
    start, end = _colon(lines, old), _end(lines, old)
    lost = lines.comments_in(start, end)
    if flow:
        if lost:
            raise EditError(f"A comment stands within the braces at `{old.key}`.", BY_HAND)
        return [Piece(start=start, end=end, text=f" {one_line(value, flow=True)}")]
    pad = old.key_span.column - 1
    text = entry(old.key, value, pad)
    made = text[len(one_line(old.key, flow=False)) + 1 :]
    if not lost and "\n" not in made and old.value.span.line == old.key_span.line and not _absent(old.value):
        return [Piece(start=lines.start(old.value.span), end=end, text=made[1:])]
    if "\n" in made and lines.text[end : lines.next_line(end)].strip():
        raise EditError(f"A comment stands behind `{old.key}`.", BY_HAND)
    kept = "".join(f"{comment.text}\n{' ' * pad}" for comment in lost)
    above = lines.start(old.key_span)
    if lost and lines.text[lines.line_start(old.key_span.line) : above].strip():
        raise EditError(f"A comment stands within `{old.key}`.", BY_HAND)
    return [Piece(start=above, end=above, text=kept), Piece(start=start, end=end, text=made)]


def _inside(lines: Lines, old: Node, value: Plain, *, flow: bool) -> list[Piece] | None:
    """The pieces within a mapping or a list of the same length; None where it has to be written anew."""
    if isinstance(old, Mapping) and isinstance(value, dict) and value and set(old.entries) & set(value):
        flow = flow or old.flow
        gone = [key for key in old.entries if key not in value]
        new = [key for key in value if key not in old.entries]
        if len(gone) + len(new) > 1 or any(key in BLOCKS for key in (*gone, *new)):
            return None
        pieces = [piece for key in gone for piece in take(lines, old, key)]
        return pieces + [piece for key, one in value.items() for piece in put(lines, old, key, one, flow=flow)]
    if isinstance(old, Listing) and isinstance(value, list) and len(value) == len(old.items):
        found: list[Piece] = []
        for item, one in zip(old.items, value, strict=True):
            if plain_value(item) == one:
                continue
            inner = _inside(lines, item, one, flow=flow)
            if inner is None:
                return None
            found += inner
        return found
    return None
