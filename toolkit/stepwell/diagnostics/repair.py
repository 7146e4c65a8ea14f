"""A mend that was found and re-checked: one sentence, and what would be written where."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.diagnostics.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class TextEdit:
    """What stands at ``span`` gives way to ``text``; an empty span is a place to put something in."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """``sentence`` says it in the author's words; ``edits`` are in the order of the file and do not overlap.

    ``notes`` say what is left to weigh. ``tried`` counts the changes that were looked at until this one was found.
    """

    sentence: str
    edits: tuple[TextEdit, ...]
    notes: tuple[str, ...] = ()
    tried: int = 0
