"""Reading one mapping key by key: unknown keys, missing keys and wrong sorts of values, each at its own place."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from stepwell.diagnostics.span import Span
from stepwell.source import faults
from stepwell.source.as_written import as_written
from stepwell.source.cut_by_comma import note_comma
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.notes import Notes
from stepwell.source.sections import Key, Section

_VERSION = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,6}){0,3}(?:[-+][0-9A-Za-z.-]{1,40})?")
_NAME = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
_LONGEST_NAME = 60


def is_name(text: str) -> bool:
    """True for words such as ``prime-clamp``: what ids of parts, rigs, procedures, roles and rules look like."""
    return len(text) <= _LONGEST_NAME and _NAME.fullmatch(text) is not None


def described(node: Node) -> str:
    """What a value is, in words."""
    match node:
        case Mapping():
            return "a group of `key: value`"
        case Listing():
            return "a list"
        case Scalar(value=None):
            return "nothing"
        case Scalar(value=bool()):
            return quote(node.text)
        case Scalar(value=int() | float()):
            return f"the number {quote(node.text)}"
        case _:
            return f"the text {quote(node.text)}"


def note_name(notes: Notes, text: str, span: Span, what: str) -> None:
    """Note a name that is not written as names are."""
    if not is_name(text):
        likely = re.sub(r"[^a-z0-9]+", "-", text[:_LONGEST_NAME].lower()).strip("-")
        mend = f"Write it for example as {quote(likely)}." if is_name(likely) else "Write for example `prime-clamp`."
        notes.add(
            faults.MALFORMED_ID,
            span,
            f"{quote(text)} can't be {what}: small letters, digits and single hyphens, a letter first, "
            f"at most {_LONGEST_NAME} characters.",
            mend,
        )


@dataclass(slots=True)
class Fields:
    """A mapping that is read as a section. ``handle`` is the place for what is missing in it."""

    node: Mapping
    section: Section
    notes: Notes
    handle: Span
    name: str = ""
    """Which one, for messages, such as "the step `k7f3`"."""
    examples: dict[str, str] = field(default_factory=dict)
    """For keys that are missing: an example out of this very file, where there is one."""

    def check(self, more: Iterable[str] = ()) -> Fields:
        """Note unknown and missing keys; ``more`` are keys allowed besides the section's."""
        allowed = (*self.section.names, *more)
        for entry in tuple(self.node.entries.values()):
            if entry.key not in allowed and self._cut_by_comma(entry):
                continue
            if entry.key not in allowed:
                free = [key for key in allowed if key not in self.node.entries]
                self.notes.add(
                    faults.UNKNOWN_KEY,
                    entry.key_span,
                    f"{quote(entry.key)} means nothing in {self.noun}.",
                    did_you_mean(entry.key, free or allowed, what="It can have", most=20),
                )
        for key in self.section.keys:
            if key.required and key.name not in self.node.entries:
                self.notes.add(
                    faults.MISSING_KEY,
                    self.handle,
                    f"{self.noun[:1].upper()}{self.noun[1:]} has no {quote(key.name)} ({key.takes}).",
                    f"Add for example `{self.examples.get(key.name, key.example)}`.",
                )
        return self

    def _cut_by_comma(self, entry: Entry) -> bool:
        """``{text: first, second}``: the comma ends the text, and what follows is read as a key without a value."""
        return self.node.flow and note_comma(entry, self.node, self.notes)

    @property
    def noun(self) -> str:
        """How messages call it."""
        return self.name or self.section.noun

    def has(self, key: str) -> bool:
        """True if the key is there at all."""
        return key in self.node.entries

    def entry(self, key: str) -> Entry | None:
        """The entry of a key, or None."""
        return self.node.entries.get(key)

    def wrong(self, entry: Entry) -> None:
        """Note that the value is of the wrong sort."""
        key = self.section.key(entry.key) or Key(entry.key, "another value", f"{entry.key}: ...")
        node = entry.value
        if isinstance(node, Scalar) and node.value is None:
            self.notes.add(
                faults.EMPTY_VALUE,
                entry.key_span,
                f"{quote(entry.key)} has no value; it takes {key.takes}.",
                f"Write for example `{key.example}`{'' if key.required else ', or delete the key'}.",
            )
            return
        note_wrong(self.notes, node, quote(entry.key), key.takes, key.example)

    def scalar(self, key: str) -> Scalar | None:
        """The value of a key that takes a text or word: a text that is not empty. Numbers must be in quotes."""
        entry = self.entry(key)
        if entry is None:
            return None
        node = entry.value
        if isinstance(node, Scalar) and isinstance(node.value, str):
            if node.value.strip():
                return node
            self.notes.add(faults.EMPTY_VALUE, node.span, f"{quote(key)} is empty.", "Write something, or delete the key.")
            return None
        self.wrong(entry)
        return None

    def text(self, key: str, default: str = "") -> str:
        """The text of a key, or the default."""
        node = self.scalar(key)
        if node is None:
            return default
        note_hash(self.notes, node)
        return node.text.strip()

    def flag(self, key: str) -> bool:
        """``true`` or ``false``; False if it is not there."""
        entry = self.entry(key)
        if entry is None:
            return False
        if isinstance(entry.value, Scalar) and isinstance(entry.value.value, bool):
            return entry.value.value
        self.wrong(entry)
        return False

    def whole(self, key: str, default: int, least: int, most: int) -> int:
        """A whole number in a range."""
        entry = self.entry(key)
        if entry is None:
            return default
        value = entry.value.value if isinstance(entry.value, Scalar) else None
        if isinstance(value, bool) or not isinstance(value, int):
            self.wrong(entry)
            return default
        if not least <= value <= most:
            self.notes.add(
                faults.OUT_OF_RANGE,
                entry.value.span,
                f"{quote(key)} is {quote(value)}; it must be from {least} to {most}.",
                f"Write for example `{key}: {max(least, min(value, most))}`.",
            )
            return default
        return value

    def listing(self, key: str, *, empty: bool = True) -> list[Node]:
        """The items of a list; with ``empty`` False an empty one is noted."""
        entry = self.entry(key)
        if entry is None:
            return []
        if not isinstance(entry.value, Listing):
            self.wrong(entry)
            return []
        if not entry.value.items and not empty:
            self.notes.add(
                faults.EMPTY_VALUE, entry.value.span, f"{quote(key)} has nothing in it.", "Fill it, or delete the key."
            )
        return entry.value.items

    def one_or_more(self, key: str) -> list[Node]:
        """The items of a list, or the one value that stands without one."""
        entry = self.entry(key)
        if entry is None:
            return []
        if isinstance(entry.value, Listing):
            return self.listing(key, empty=False)
        if isinstance(entry.value, Scalar) and entry.value.value is None:
            self.wrong(entry)
            return []
        return [entry.value]

    def mapping(self, key: str) -> Mapping | None:
        """The mapping of a key, or None."""
        entry = self.entry(key)
        if entry is None:
            return None
        if isinstance(entry.value, Mapping):
            return entry.value
        self.wrong(entry)
        return None

    def word(self, key: str, choices: tuple[str, ...], default: str) -> str:
        """One of a few words."""
        node = self.scalar(key)
        if node is None:
            return default
        if node.text in choices:
            return node.text
        self.notes.add(
            faults.UNKNOWN_WORD,
            node.span,
            f"{quote(node.text)} is not a word for {quote(key)}.",
            did_you_mean(node.text, choices, what="Choose one of"),
        )
        return default

    def named(self, key: str, what: str) -> str:
        """An id that is written as ids are."""
        node = self.scalar(key)
        if node is None:
            return ""
        note_name(self.notes, node.text, node.span, what)
        return node.text

    def version(self, key: str = "version") -> str:
        """A version; without quotes YAML would take it for a number."""
        entry = self.entry(key)
        if entry is None:
            return ""
        node = entry.value
        number = isinstance(node, Scalar) and not isinstance(node.value, bool) and isinstance(node.value, int | float)
        if isinstance(node, Scalar) and number:
            self.notes.add(
                faults.VERSION_NOT_TEXT,
                node.span,
                f"{quote(node.text)} without quotes is a number, so that 3.10 and 3.1 would be the same version.",
                f'Put it in quotes: `{key}: "{node.text}"`.',
            )
            return node.text
        found = self.scalar(key)
        if found is not None and not _VERSION.fullmatch(found.text):
            self.notes.add(
                faults.MALFORMED_ID,
                found.span,
                f"{quote(found.text)} is not a version.",
                'Write numbers with points between: `version: "1.0.0"`.',
            )
        return "" if found is None else found.text


def note_wrong(notes: Notes, node: Node, what: str, takes: str, example: str) -> None:
    """Note a value of the wrong sort; ``what`` is already quoted."""
    opening = node.entries if isinstance(node, Mapping) and node.flow else {}
    names = [entry.key for entry in opening.values() if isinstance(entry.value, Scalar) and entry.value.value is None]
    if takes.startswith("a text") and len(names) == 1 == len(opening):
        notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"{what} takes a text, but one that begins with a brace is read as a group of `key: value`.",
            f'Put the whole text in quotes: "{{{names[0]}}} ..."',
        )
        return
    mend = f"Write for example `{example}`."
    key = example.partition(":")[0]
    if takes.startswith("a list") and isinstance(node, Scalar) and isinstance(node.value, str) and node.text:
        words = [word.strip() for word in node.text.split(",")]
        inside = ", ".join(words) if all(map(is_name, words)) else as_written(node)
        mend = f"Put it in brackets: `{key}: [{inside}]`."
    if isinstance(node, Scalar) and not isinstance(node.value, str) and takes.startswith("a text"):
        mend = f'Put it in quotes: "{node.text}".'
    notes.add(faults.WRONG_TYPE, node.span, f"{what} takes {takes}, but here is {described(node)}.", mend)


def note_hash(notes: Notes, node: Scalar) -> None:
    """Note a text that a ``#`` cuts short: one that touches the next word is hardly meant as a comment."""
    if node.comment and not node.comment.startswith(("# ", "##")) and node.comment != "#":
        notes.add(
            faults.TEXT_CUT_BY_HASH,
            node.span,
            f"The text ends before {quote(node.comment)}, because ` #` begins a comment.",
            f'Put the whole text in quotes: "{node.text} {node.comment}". A comment has a space after `#`.',
        )


def mapping_of(node: Node, section: Section, notes: Notes, *, what: str, example: str) -> Mapping | None:
    """The node as a mapping, or None with a note; ``what`` is how messages call it."""
    if isinstance(node, Mapping):
        return node
    notes.add(
        faults.WRONG_TYPE,
        node.span,
        f"{what} must be a group with {listed(section.names, most=4)}, but here is {described(node)}.",
        f"Write for example `{example}`.",
    )
    return None


def first_span(node: Mapping) -> Span:
    """The place of the first key of a mapping, or of the mapping."""
    for entry in node.entries.values():
        return entry.key_span
    return node.span
