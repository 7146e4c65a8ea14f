"""Author's text with its ``{part}`` and ``{number}`` resolved."""

from __future__ import annotations

import re
from collections.abc import Iterable

from stepwell.diagnostics.span import Span
from stepwell.model.procedure import Figure, PartName, Run, Text, Words
from stepwell.source import faults
from stepwell.source.fields import Fields, described, note_hash, note_wrong
from stepwell.source.near import did_you_mean, quote
from stepwell.source.nodes import Node, Scalar
from stepwell.source.scope import Scope

_TOKEN = re.compile(r"\{\{|\}\}|\{([^{}\n]*)\}|[{}]")


def words_at(fields: Fields, key: str, scope: Scope) -> Words:
    """The words of a key; none if it is not there or no text."""
    node = fields.scalar(key)
    return () if node is None else read_words(node, scope)


def read_text(node: Node, scope: Scope, what: str, example: str) -> Words:
    """The words of an item of a list of texts."""
    if isinstance(node, Scalar) and isinstance(node.value, str) and node.value.strip():
        return read_words(node, scope)
    if isinstance(node, Scalar) and node.value is None:
        scope.notes.add(faults.EMPTY_VALUE, node.span, f"{what} is empty.", f"Write for example `{example}`.")
    else:
        note_wrong(scope.notes, node, what, "a text", example)
    return ()


def read_words(node: Scalar, scope: Scope) -> Words:
    """Cut a text at its braces. Names that lead nowhere are noted at their very place."""
    note_hash(scope.notes, node)
    text = node.text.strip()
    if "{" not in text and "}" not in text:
        return (Text(" ".join(text.split())),)
    runs: list[Run] = []
    plain: list[str] = []
    last = 0
    for match in _TOKEN.finditer(text):
        plain.append(text[last : match.start()])
        last = match.end()
        token = match[0]
        if token in ("{{", "}}"):
            plain.append(token[0])
            continue
        run = _named(match, node, scope)
        if run is None:
            plain.append(token)
            continue
        _flush(runs, plain)
        runs.append(run)
    plain.append(text[last:])
    _flush(runs, plain)
    return tuple(runs)


def _flush(runs: list[Run], plain: list[str]) -> None:
    text = re.sub(r"\s+", " ", "".join(plain))
    plain.clear()
    if text:
        runs.append(Text(text))


def _named(match: re.Match[str], node: Scalar, scope: Scope) -> Run | None:
    name = match[1]
    span = _inside(node, match)
    if name is None:
        scope.notes.add(
            faults.BRACE_IN_TEXT,
            span,
            f"{quote(match[0])} stands alone; braces in a text enclose the name of a part or number.",
            f"Close it, or write {quote(match[0] * 2)} for a brace that is to be printed.",
        )
        return None
    if scope.numbers is not None and name in scope.numbers:
        return Figure(name)
    if scope.parts is not None and name in scope.parts:
        return PartName(name)
    if scope.parts is None or scope.numbers is None:
        return PartName(name)
    known = (*scope.parts, *scope.numbers)
    scope.strangers.append(name)
    scope.notes.add(
        faults.UNKNOWN_NAME_IN_TEXT,
        span,
        f"{quote(match[0])} is neither a part of the rig nor a number of the unit.",
        did_you_mean(name, known, what="Braces enclose a name such as", most=4),
    )
    return None


def _inside(node: Scalar, match: re.Match[str]) -> Span:
    """The exact place of a name in a text on one line; the whole text where it runs over several or has escapes."""
    span = node.span
    quotes = 0 if node.plain else 1
    if span.line != span.end_line or span.end_column - span.column != len(node.text) + 2 * quotes:
        return span
    lead = len(node.text) - len(node.text.lstrip())
    start = span.column + quotes + lead + match.start()
    return Span(path=span.path, line=span.line, column=start, end_line=span.line, end_column=start + len(match[0]))


def placeholders(node: Scalar, known: Iterable[str], scope: Scope) -> None:
    """Note ``{x}`` in a rule's message that names none of its letters."""
    names = tuple(known)
    for match in _TOKEN.finditer(node.text):
        if match[0] in ("{{", "}}"):
            continue
        name = match[1]
        if name is None:
            _named(match, node, scope)
        elif name not in names:
            scope.notes.add(
                faults.UNKNOWN_VARIABLE,
                _inside(node, match),
                f"{quote(match[0])} is none of the letters that `for-every` binds.",
                did_you_mean(name, names, what="Bound are") or "Bind it in `for-every`.",
            )


def scalar_text(node: Node, scope: Scope, what: str, example: str) -> Scalar | None:
    """A word in a list, or None with a note."""
    if isinstance(node, Scalar) and isinstance(node.value, str) and node.value.strip():
        return node
    scope.notes.add(
        faults.WRONG_TYPE,
        node.span,
        f"{what} is needed here, but here is {described(node)}.",
        f"Write for example `{example}`.",
    )
    return None
