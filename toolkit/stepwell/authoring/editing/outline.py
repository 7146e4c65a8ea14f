"""What stands in a procedure's file, item by item, as it is written: also where the rest of the tool can't use it yet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar, plain_value

CHILDREN = {
    "stage": ("steps",),
    "any-order": ("steps",),
    "repeat": ("steps",),
    "for-each": ("steps",),
    "if-rig": ("steps", "otherwise"),
    "lanes": ("of",),
    "lane": ("steps",),
    "choose": ("outcomes",),
    "label": ("steps",),
    "hold": (),
    "meet": (),
}
"""The word that says what an item is -> the keys under which its own items stand."""
NOT_FOR_STEPS = ("of", "outcomes")
"""Lists whose items are lanes or answers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One item of the body. ``word`` is ``step`` or the word that says what it is; ``path`` a JSON pointer.

    ``values`` are the item's own keys and plain values. ``lists``: pointers of its lists of steps. Lines count from 1.
    """

    word: str
    path: str
    id: str = ""
    title: str = ""
    values: tuple[tuple[str, object], ...] = ()
    first_line: int = 0
    last_line: int = 0
    lists: tuple[str, ...] = ()
    rows: tuple[Row, ...] = ()


def outline(root: Node | None) -> tuple[Row, ...]:
    """The items of the body; none where the file has no body to speak of."""
    body = root.get("body") if isinstance(root, Mapping) else None
    if body is None or not isinstance(body.value, Listing):
        return ()
    return tuple(_rows(body.value, "/body"))


def every_row(rows: tuple[Row, ...]) -> Iterator[Row]:
    """All rows in reading order, each before those in it."""
    for row in rows:
        yield row
        yield from every_row(row.rows)


def _rows(listing: Listing, pointer: str) -> Iterator[Row]:
    for number, item in enumerate(listing.items):
        if isinstance(item, Mapping):
            yield _row(item, f"{pointer}/{number}")


def _row(node: Mapping, path: str) -> Row:
    word = next((word for word in CHILDREN if word in node.entries), "step")
    lists = [(key, node.entries[key]) for key in CHILDREN.get(word, ()) if _is_list(node.get(key))]
    inner = [row for key, entry in lists if isinstance(entry.value, Listing) for row in _rows(entry.value, f"{path}/{key}")]
    own = [entry for key, entry in node.entries.items() if key not in CHILDREN.get(word, ())]
    return Row(
        word="outcome" if word == "label" else word,
        path=path,
        id=_text(node.get("id")),
        title=_text(node.get("say" if word == "step" else word)),
        values=tuple((entry.key, plain_value(entry.value)) for entry in own),
        first_line=node.span.line,
        last_line=node.span.end_line,
        lists=tuple(f"{path}/{key}" for key, _ in lists if key not in NOT_FOR_STEPS),
        rows=tuple(inner),
    )


def _is_list(entry: Entry | None) -> bool:
    return entry is not None and isinstance(entry.value, Listing)


def _text(entry: Entry | None) -> str:
    return entry.value.text if entry is not None and isinstance(entry.value, Scalar) else ""
