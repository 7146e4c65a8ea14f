"""A YAML file as a tree of values, each with the exact place it stands at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from stepwell.diagnostics.span import Span
from stepwell.source.scalars import Scalars


@dataclass(slots=True)
class Scalar:
    """One word, text, number, truth value or nothing. ``text`` is as the author wrote it, without quotes."""

    text: str
    value: Scalars
    plain: bool
    span: Span
    comment: str = ""
    """What stands behind a ``#`` on the line of a plain scalar, with the ``#``."""


@dataclass(slots=True)
class Listing:
    """A sequence."""

    items: list[Node]
    span: Span


@dataclass(slots=True)
class Entry:
    """One ``key: value`` of a mapping."""

    key: str
    key_span: Span
    value: Node

    @property
    def span(self) -> Span:
        """From the key to the end of the value."""
        return joined(self.key_span, self.value.span)


@dataclass(slots=True)
class Mapping:
    """``key: value`` pairs in the order of the file; no key twice. ``flow``: written in braces."""

    entries: dict[str, Entry]
    span: Span
    flow: bool = False

    def get(self, key: str) -> Entry | None:
        """The entry with this key, or None."""
        return self.entries.get(key)


Node: TypeAlias = Scalar | Listing | Mapping


def joined(first: Span, last: Span) -> Span:
    """From the start of ``first`` to the end of ``last``."""
    return Span(
        path=first.path,
        line=first.line,
        column=first.column,
        end_line=last.end_line,
        end_column=last.end_column,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a key and its value stand; an item of a list has no key."""

    key: Span | None
    value: Span


def places(root: Node) -> dict[str, Place]:
    """JSON pointer -> place, for every value of the tree."""
    return dict(_places("", None, root))


def _places(pointer: str, key: Span | None, node: Node) -> Iterator[tuple[str, Place]]:
    yield pointer, Place(key=key, value=node.span)
    match node:
        case Mapping(entries=entries):
            for entry in entries.values():
                token = entry.key.replace("~", "~0").replace("/", "~1")
                yield from _places(f"{pointer}/{token}", entry.key_span, entry.value)
        case Listing(items=items):
            for number, item in enumerate(items):
                yield from _places(f"{pointer}/{number}", None, item)
        case Scalar():
            pass


def plain_value(node: Node) -> object:
    """The tree as plain Python values, for a JSON schema."""
    match node:
        case Mapping(entries=entries):
            return {entry.key: plain_value(entry.value) for entry in entries.values()}
        case Listing(items=items):
            return [plain_value(item) for item in items]
        case Scalar(value=value):
            return value
