"""Where things of a text stand, in characters: lines, spans, comments, and the lines that belong to an item of a list."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

from stepwell.authoring.editing.edit import EditError
from stepwell.diagnostics.span import Span
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar

BY_HAND = "Change it in a text editor; the page shows it at every save."


@dataclass(frozen=True, slots=True, kw_only=True)
class Comment:
    """``text`` from its ``#`` to the end of its line; ``whole``: nothing else stands on that line."""

    start: int
    end: int
    text: str
    whole: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """A text with its lines and comments. Offsets count characters from 0, lines from 1."""

    text: str
    starts: tuple[int, ...]
    comments: tuple[Comment, ...]

    def offset(self, line: int, column: int) -> int:
        """The offset of a place; beyond the last line it is the end of the text."""
        return self.starts[line - 1] + column - 1 if line <= len(self.starts) else len(self.text)

    def start(self, span: Span) -> int:
        """Where a span begins."""
        return self.offset(span.line, span.column)

    def end(self, span: Span) -> int:
        """Where a span ends."""
        return self.offset(span.end_line, span.end_column)

    def line_of(self, offset: int) -> int:
        """The line in which an offset lies."""
        return bisect_right(self.starts, offset)

    def line_start(self, line: int) -> int:
        """Where a line begins."""
        return self.offset(line, 1)

    def next_line(self, offset: int) -> int:
        """Where the line after this offset begins; the end of the text if there is none."""
        found = self.text.find("\n", offset)
        return len(self.text) if found < 0 else found + 1

    def line(self, number: int) -> str:
        """One line without its newline; empty beyond the last."""
        if not 1 <= number <= len(self.starts):
            return ""
        return self.text[self.starts[number - 1] : self.next_line(self.starts[number - 1])].rstrip("\n")

    def comments_in(self, start: int, end: int) -> tuple[Comment, ...]:
        """The comments that begin within a stretch."""
        return tuple(one for one in self.comments if start <= one.start < end)


def lines_of(text: str, root: Node) -> Lines:
    """The lines of a text that ``root`` is the tree of."""
    starts = (0, *(match.end() for match in re.finditer("\n", text)))
    bare = Lines(text=text, starts=starts, comments=())
    taken = sorted((bare.start(one.span), _end(bare, one)) for one in _scalars(root))
    return Lines(text=text, starts=starts, comments=tuple(_comments(bare, taken)))


def _end(lines: Lines, scalar: Scalar) -> int:
    """The end of a text; that of a block of text is covered to the end of its last line."""
    return max(lines.start(scalar.span), lines.end(scalar.span))


def _comments(lines: Lines, taken: list[tuple[int, int]]) -> Iterator[Comment]:
    at = 0
    skip = 0
    text = lines.text
    while (at := text.find("#", at)) >= 0:
        while skip < len(taken) and taken[skip][1] <= at:
            skip += 1
        if skip < len(taken) and taken[skip][0] <= at < taken[skip][1]:
            header = text[taken[skip][0]] in "|>" and "\n" not in text[taken[skip][0] : at]
            if not header:
                at = taken[skip][1]
                continue
        if at == 0 or text[at - 1] in " \n":
            stop = text.find("\n", at)
            end = len(text) if stop < 0 else stop
            begin = text.rfind("\n", 0, at) + 1
            yield Comment(start=at, end=end, text=text[at:end].rstrip(), whole=not text[begin:at].strip())
            at = end
        else:
            at += 1


def _scalars(node: Node) -> Iterator[Scalar]:
    match node:
        case Scalar():
            yield node
        case Listing(items=items):
            for item in items:
                yield from _scalars(item)
        case Mapping(entries=entries):
            for entry in entries.values():
                yield Scalar(text=entry.key, value=entry.key, plain=True, span=entry.key_span)
                yield from _scalars(entry.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The lines of one item of a list: from ``start`` (with the comments above it) or ``dash_line`` (without) to ``end``.

    ``column`` (from 0) is that of its dash.
    """

    start: int
    dash_line: int
    end: int
    column: int


def block_of(lines: Lines, item: Node) -> Block:
    """The lines of an item. Comments just above its dash, and those below it that stand deeper, belong to it."""
    begin = lines.start(item.span)
    dash = lines.text.rfind("-", 0, begin)
    line = lines.line_of(dash) if dash >= 0 else 0
    if dash < 0 or lines.text[dash + 1 : begin].strip() or lines.text[lines.line_start(line) : dash].strip():
        raise EditError("This list is written on one line, so its items can't be moved singly here.", BY_HAND)
    column = dash - lines.line_start(line)
    first = line
    while first > 1 and _comment_at(lines, first - 1) == column:
        first -= 1
    end = lines.next_line(lines.end(item.span))
    while (found := _comment_at(lines, lines.line_of(end))) is not None and found > column and end < len(lines.text):
        end = lines.next_line(end)
    return Block(start=lines.line_start(first), dash_line=lines.line_start(line), end=end, column=column)


def _comment_at(lines: Lines, number: int) -> int | None:
    """The column of the comment that has a line to itself, or None."""
    line = lines.line(number)
    bare = line.lstrip(" ")
    return len(line) - len(bare) if bare.startswith("#") else None


def pad_of(entries: dict[str, Entry]) -> int:
    """The column (from 0) at which the keys of a mapping stand."""
    return next(iter(entries.values())).key_span.column - 1
