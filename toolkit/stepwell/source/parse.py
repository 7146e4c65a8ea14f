"""From text to a tree of nodes, through PyYAML's event stream (the C parser where it is there).

Events instead of composed nodes: they show aliases, anchors, tags and documents, and need no recursion, so that a
hostile file can neither blow up nor overflow the stack.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from stepwell.diagnostics.finding import Related
from stepwell.diagnostics.span import Span
from stepwell.source import faults
from stepwell.source.decode import FORBIDDEN, MEND_CHARACTER, decode, described
from stepwell.source.near import quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.notes import EnoughError, Notes
from stepwell.source.scalars import resolve
from stepwell.source.syntax import MOST_DEPTH, mend_of_twice, note_depth, note_syntax

MOST_NODES = 50_000

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_COMMENT = re.compile(r"\s+(#.*)")


def parse(data: bytes, notes: Notes) -> Node | None:
    """The tree of a file, or None where there is none to speak of. Every problem of form is in ``notes``."""
    try:
        text = decode(data, notes)
        return None if text is None else parse_text(text, notes)
    except EnoughError:
        return None


def parse_text(text: str, notes: Notes) -> Node | None:
    """The tree of a text that ``decode`` has cleaned."""
    builder = _Builder(notes, text.split("\n"))
    try:
        for event in _events(text):
            if not builder.take(event):
                return None
    except yaml.YAMLError as error:
        note_syntax(error, builder.lines, notes)
        return None
    if builder.root is None or (isinstance(builder.root, Scalar) and builder.root.value is None):
        if not notes.findings:
            notes.add(
                faults.EMPTY_FILE,
                notes.top(),
                "There is nothing in this file.",
                "Delete it, or start it from a template with `stepwell new`.",
            )
        return None
    return None if builder.spoilt else builder.root


def _events(text: str) -> Iterator[Any]:
    loader = _LOADER(text)
    try:
        while loader.check_event():
            yield loader.get_event()
    finally:
        loader.dispose()


def _tag(tag: str) -> str:
    """A tag as the author wrote it."""
    standard = "tag:yaml.org,2002:"
    return f"!!{tag.removeprefix(standard)}" if tag.startswith(standard) else f"!{tag.removeprefix('!')}"


@dataclass(slots=True)
class _Open:
    """A list or mapping that is being read; ``key`` is waiting for its value."""

    node: Listing | Mapping
    start: Any
    flow: bool
    last: Span | None = None
    key: tuple[str, Span] | None = None
    skip: bool = False
    """The key has been refused, so its value is read and dropped."""
    two: bool = False
    """Two steps that run into each other."""


@dataclass(slots=True)
class _Builder:
    notes: Notes
    lines: list[str]
    root: Node | None = None
    stack: list[_Open] = field(default_factory=list)
    count: int = 0
    documents: int = 0
    anchored: dict[str, Scalar] = field(default_factory=dict)
    spoilt: bool = False
    """True if a part of the tree is not there, so that reading on would blame the author for what is missing."""

    def take(self, event: Any) -> bool:
        """Take one event; False stops the reading of this file."""
        match event:
            case yaml.ScalarEvent():
                self._check_marks(event)
                scalar = self._scalar(event)
                if event.anchor is not None:
                    self.anchored[event.anchor] = scalar
                return self._place(scalar)
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                self._check_marks(event)
                return self._start(event)
            case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                return self._end(event)
            case yaml.AliasEvent():
                span = self._span(event.start_mark, event.end_mark)
                self._no_alias(span, f"`*{event.anchor}` repeats a value from elsewhere.")
                return self._place(self._repeated(event.anchor, span))
            case yaml.DocumentStartEvent():
                self.documents += 1
                if self.documents == 2:
                    self.notes.add(
                        faults.SEVERAL_DOCUMENTS,
                        self._span(event.start_mark, event.end_mark),
                        "A second document begins here (`---`).",
                        "Put each procedure, rig or rule into a file of its own.",
                    )
                return self.documents == 1
            case _:
                return True

    def _span(self, start: Any, end: Any) -> Span:
        return Span(
            path=self.notes.path,
            line=start.line + 1,
            column=start.column + 1,
            end_line=end.line + 1,
            end_column=end.column + 1,
        )

    def _no_alias(self, span: Span, message: str) -> None:
        self.notes.add(
            faults.ALIAS_OR_ANCHOR,
            span,
            message,
            "Write the value out in each place; text that begins with `&` or `*` must be in quotes.",
        )

    def _repeated(self, anchor: str | None, span: Span) -> Scalar:
        """A text is repeated, so that nothing more is said of it; a whole list or mapping spoils the tree."""
        first = self.anchored.get(anchor or "")
        if first is None:
            self.spoilt = True
            return Scalar(text="", value=None, plain=True, span=span)
        return Scalar(text=first.text, value=first.value, plain=False, span=span)

    def _check_marks(self, event: Any) -> None:
        if event.anchor is not None:
            span = self._span(event.start_mark, event.start_mark)
            self._no_alias(span, f"`&{event.anchor}` names a value so that it can be repeated.")
        if event.tag is not None:
            self.notes.add(
                faults.EXPLICIT_TAG,
                self._span(event.start_mark, event.start_mark),
                f"{quote(_tag(event.tag))} gives this value a type by hand.",
                "Leave it out; text that begins with `!` must be in quotes.",
            )

    def _scalar(self, event: Any) -> Scalar:
        plain = event.style is None or event.style == ""
        end = event.end_mark
        text: str = event.value
        span = self._span(event.start_mark, end)
        if event.style in ("|", ">"):
            span = self._trimmed(span)
        comment = ""
        if plain:
            found = _COMMENT.match(self.lines[end.line], end.column) if end.line < len(self.lines) else None
            comment = found[1] if found else ""
        elif (bad := FORBIDDEN.search(text)) is not None:
            self.notes.add(faults.FORBIDDEN_CHARACTER, span, described(bad[0]), MEND_CHARACTER)
            text = FORBIDDEN.sub("\ufffd", text)
        return Scalar(text=text, value=resolve(text) if plain else text, plain=plain, span=span, comment=comment)

    def _trimmed(self, span: Span) -> Span:
        """A block of text ends with its last line that is not blank, not where the next thing begins."""
        line = min(span.end_line - 1, len(self.lines))
        while line > span.line and not self.lines[line - 1].strip():
            line -= 1
        return Span(
            path=span.path,
            line=span.line,
            column=span.column,
            end_line=line,
            end_column=len(self.lines[line - 1].rstrip()) + 1,
        )

    def _start(self, event: Any) -> bool:
        if len(self.stack) >= MOST_DEPTH:
            note_depth(self._span(event.start_mark, event.end_mark), self.notes)
            return False
        span = self._span(event.start_mark, event.end_mark)
        node: Listing | Mapping
        node = Mapping({}, span) if isinstance(event, yaml.MappingStartEvent) else Listing([], span)
        flow = bool(event.flow_style)
        if isinstance(node, Mapping):
            node.flow = flow
        outer = self.stack[-1] if self.stack else None
        if outer is not None and isinstance(outer.node, Mapping) and outer.key is None:
            # A list or mapping where a key should be; it is dropped together with its value.
            self._key_not_text(span)
            outer.skip = True
        self.stack.append(_Open(node, event.start_mark, flow))
        return True

    def _end(self, event: Any) -> bool:
        opened = self.stack.pop()
        if opened.flow or opened.last is None:
            opened.node.span = self._span(opened.start, event.end_mark)
        else:
            start = self._span(opened.start, opened.start)
            last = opened.last
            opened.node.span = Span(
                path=start.path,
                line=start.line,
                column=start.column,
                end_line=last.end_line,
                end_column=last.end_column,
            )
        return self._place(opened.node)

    def _key_not_text(self, span: Span) -> None:
        self.notes.add(
            faults.KEY_NOT_TEXT,
            span,
            "What stands before the `:` must be a word.",
            "A text that begins with `{`, `[` or `?` must be in quotes.",
        )

    def _place(self, node: Node) -> bool:
        self.count += 1
        if self.count > MOST_NODES:
            self.notes.add(
                faults.TOO_MANY_VALUES,
                node.span,
                f"The file holds more than {MOST_NODES:,} keys and values.",
                "Look whether this is the right file.",
            )
            return False
        if not self.stack:
            if self.root is None:
                self.root = node
            return True
        parent = self.stack[-1]
        parent.last = node.span
        if isinstance(parent.node, Listing):
            parent.node.items.append(node)
        else:
            self._pair(parent, parent.node, node)
        return True

    def _pair(self, parent: _Open, mapping: Mapping, node: Node) -> None:
        if parent.key is not None:
            key, key_span = parent.key
            parent.key = None
            if not parent.skip:
                mapping.entries[key] = Entry(key, key_span, node)
            parent.skip = False
            return
        if not isinstance(node, Scalar):
            # A list or mapping as a key: noted when it began. Its value comes next and is dropped.
            parent.key = ("", node.span)
            return
        parent.key = (node.text, node.span)
        if node.plain and node.text == "<<":
            parent.skip = True
            self.notes.add(
                faults.MERGE_KEY, node.span, "`<<` copies keys from elsewhere.", "Write the keys out in each place."
            )
        elif node.text == "" or (node.plain and node.value is None):
            parent.skip = True
            self._key_not_text(node.span)
        elif (first := mapping.entries.get(node.text)) is not None:
            parent.skip = True
            if not parent.two:
                self.notes.add(
                    faults.DUPLICATE_KEY,
                    node.span,
                    f"{quote(node.text)} stands here twice; the first is in line {first.key_span.line}.",
                    mend_of_twice(node.text, mapping),
                    related=(Related(message="the first one", span=first.key_span),),
                )
            # A second id is a second step without its dash: what follows is that step's, and no fault of its own.
            parent.two = parent.two or node.text == "id"
