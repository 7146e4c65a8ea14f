"""What the YAML parser says, in words that help an author."""

from __future__ import annotations

import re
from typing import Any

import yaml

from stepwell.diagnostics.span import Span
from stepwell.source import faults
from stepwell.source.near import quote
from stepwell.source.nodes import Mapping
from stepwell.source.notes import Notes
from stepwell.source.slip_of_pen import slip_before

_VALUE_LINE = re.compile(r"(?P<before>\s*(?:- )*(?:[\w-]+:\s+)?)(?P<value>\S.*)")

MOST_DEPTH = 40


def note_syntax(error: yaml.YAMLError, lines: list[str], notes: Notes) -> None:
    """Note a syntax error at the line where its cause most likely is."""
    problem = str(getattr(error, "problem", "") or "")
    context = str(getattr(error, "context", "") or "")
    mark = getattr(error, "problem_mark", None)
    start = getattr(error, "context_mark", None)
    if "quoted scalar" in context and start is not None:
        span = _span(start, lines, notes)
        _add(
            notes, span, "This quote is opened here and never closed.", "Close it with the same sort of quote on this line."
        )
        return
    if mark is None:
        _add(notes, notes.top(), "The file is not YAML.", "Look at the file in a text editor.")
        return
    span = _span(mark, lines, notes)
    slip = slip_before(lines, mark.line, start.line if start is not None else mark.line)
    if slip is not None and "maximum nesting depth" not in problem:
        place = Span(path=notes.path, line=slip.line, column=slip.column, end_line=slip.line, end_column=slip.column + 1)
        _add(notes, place, slip.message, slip.mend)
        return
    if "maximum nesting depth" in problem:
        note_depth(span, notes)
        return
    culprit = _value_with_brace(mark, start, lines)
    if culprit is not None:
        line, column, text = culprit
        _add(
            notes,
            Span(path=notes.path, line=line, column=column, end_line=line, end_column=column + len(text)),
            f"A text that begins with `{text[0]}` is read as a {'group of `key: value`' if text[0] == '{' else 'list'}.",
            f'Put the whole text in quotes: "{text}"',
        )
        return
    if start is not None and ("flow sequence" in context or "flow mapping" in context):
        span = _span(start, lines, notes)  # where the bracket was opened, not where reading stopped
    _add(notes, span, *_said(problem, context, span, lines))


def note_depth(span: Span, notes: Notes) -> None:
    """Note that things stand inside each other too deep."""
    notes.add(
        faults.NESTED_TOO_DEEP,
        span,
        f"Things stand inside each other more than {MOST_DEPTH} deep here.",
        "Look for a bracket that is never closed, or split the procedure.",
    )


def _add(notes: Notes, span: Span, message: str, mend: str) -> None:
    notes.add(faults.YAML_SYNTAX, span, message, mend)


def _span(mark: Any, lines: list[str], notes: Notes) -> Span:
    line, column = min(mark.line + 1, max(len(lines), 1)), mark.column + 1
    if mark.line + 1 > len(lines):
        column = 1
    return Span(path=notes.path, line=line, column=column, end_line=line, end_column=column + 1)


def _value_with_brace(mark: Any, start: Any, lines: list[str]) -> tuple[int, int, str] | None:
    """A value such as ``{vent} is open``: a name in braces, then words. Looked for on the lines that the parser names."""
    for place in (start, mark):
        for number in () if place is None else (place.line, place.line - 1):
            if not 0 <= number < len(lines):
                continue
            found = _VALUE_LINE.fullmatch(lines[number].rstrip())
            if found and re.match(r"\{[\w-]+\}\s*\S|\[[^\]]*\]\s*[^\s,#]", found["value"]):
                return number + 1, found.start("value") + 1, found["value"]
    return None


def _said(problem: str, context: str, span: Span, lines: list[str]) -> tuple[str, str]:
    line = lines[span.line - 1] if span.line <= len(lines) else ""
    if "mapping values are not allowed" in problem:
        return (
            "There is a second `: ` in this line, or the line is indented too far.",
            "Put a text that contains `: ` in quotes, or give the line the indentation of its neighbours.",
        )
    if "cannot start any token" in problem:
        character = line[span.column - 1 : span.column]
        return f"A text can't begin with {quote(character)}.", "Put the whole text in quotes."
    if "flow sequence" in context or "',' or ']'" in problem:
        return "A list that begins with `[` is not closed, or a comma is missing.", "Close it with `]`."
    if "flow mapping" in context or "',' or '}'" in problem:
        return (
            "What begins with `{` is not closed, or a comma is missing.",
            "Close it with `}`, and put a comma between its keys; a text that begins with `{` must be in quotes.",
        )
    if "could not find expected ':'" in problem:
        return "This line has no `: ` after its key.", "Write `key: value`, with a space after the colon."
    if "block sequence" in context or "'-' indicator" in problem:
        return (
            "This line does not fit the lines above it.",
            "Indent it exactly as its neighbours are; every item of a list begins with `- `.",
        )
    if "block mapping" in context or "expected key" in problem:
        return (
            "This line does not fit the lines above it.",
            "Indent it exactly as its neighbours are, and write `key: value`.",
        )
    if "undefined alias" in problem:
        return "A text can't begin with `*`.", "Put the whole text in quotes."
    return f"YAML stops here: {problem or context}.", "Look at the quotes, brackets and indentation of this line."


def mend_of_twice(key: str, mapping: Mapping) -> str:
    """What to do about a key that stands twice in one place."""
    if key == "id" and mapping.entries:
        return "A new step begins with a dash: write `- id: ...`, indented as the other steps are."
    if "id" in mapping.entries and "who" in mapping.entries:
        return "Delete one of them, or make the second one a step of its own, which begins with `- id: ...`."
    return "Delete one of them, or give it its own name. Two items of a list each begin with `- `."
