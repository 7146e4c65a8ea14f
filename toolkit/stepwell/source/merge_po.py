"""A translator's file brought up to the unit's texts: nothing that was translated is lost or passed off as sure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from difflib import SequenceMatcher

from stepwell.model.texts import PlacedText
from stepwell.source.po_file import PoEntry, PoFile

ALIKE = 0.5
"""How alike two texts in the same place must be to be one text that was changed, where there are several to choose from."""
HEAD = (
    ("Language", ""),
    ("MIME-Version", "1.0"),
    ("Content-Type", "text/plain; charset=UTF-8"),
    ("Content-Transfer-Encoding", "8bit"),
)
NOTE = (
    "The context is the id of a step, or names what the text belongs to.\n"
    "What stands in braces is put in when a card is made: keep it as it is. Keep every figure and unit."
)

_Key = tuple[str, str]


def merge(old: PoFile, texts: Iterable[PlacedText], language: str) -> PoFile:
    """The file with an entry for every text, in the order of the pages.

    A text that was changed keeps its translation, marked as fuzzy with the English it was made for. What is no longer
    there becomes obsolete at the end, and comes back if its text does.
    """
    wanted = _wanted(texts)
    has: dict[_Key, PoEntry] = {}
    for one in (*(e for e in old.entries if not e.obsolete), *(e for e in old.entries if e.obsolete)):
        has.setdefault((one.context, one.english), one)
    free = [one for key, one in has.items() if key not in wanted and one.words]
    entries: list[PoEntry] = []
    for (context, english), about in wanted.items():
        known = has.get((context, english))
        if known is not None:
            entries.append(replace(known, about=about, obsolete=False))
            continue
        came_from = _origin(context, english, about, free)
        if came_from is None:
            entries.append(PoEntry(context=context, english=english, about=about))
            continue
        free.remove(came_from)
        previous = came_from.previous or came_from.english
        entries.append(replace(came_from, english=english, about=about, fuzzy=True, obsolete=False, previous=previous))
    gone = sorted((replace(one, obsolete=True) for one in free), key=lambda one: (one.context, one.english))
    head = old.head or tuple((key, language if key == "Language" else value) for key, value in HEAD)
    return PoFile(entries=(*entries, *gone), head=head, note=old.note or NOTE)


def _wanted(texts: Iterable[PlacedText]) -> dict[_Key, str]:
    """Every text once with what it is: ``air-in-circuit: say``, a line for each place it stands at."""
    found: dict[_Key, dict[str, None]] = {}
    for one in texts:
        about = f"{one.place.owner}: {one.place.slot}" if one.place.owner else one.place.slot
        found.setdefault((one.place.context, one.words), {})[about] = None
    return {key: "\n".join(lines) for key, lines in found.items()}


def _origin(context: str, english: str, about: str, free: list[PoEntry]) -> PoEntry | None:
    """The entry that this text was before it was changed: of the same context and the same place in it."""
    slots = _slots(about)
    near = [one for one in free if one.context == context and (not one.about or slots & _slots(one.about))]
    several = ":" in context  # a procedure has many stages, a step has one thing to say
    scored = [(SequenceMatcher(None, english, one.english).ratio(), at, one) for at, one in enumerate(near)]
    fitting = [each for each in scored if each[0] >= ALIKE or (not several and len(near) == 1)]
    return max(fitting, key=lambda each: (each[0], -each[1]))[2] if fitting else None


def _slots(about: str) -> set[str]:
    return {line.rpartition(": ")[2] for line in about.splitlines()}
