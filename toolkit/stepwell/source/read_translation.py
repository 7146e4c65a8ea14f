"""``translations/*.po``: what is confirmed and without a fault, and findings on the rest, each at its line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence

from stepwell.diagnostics.finding import Related
from stepwell.diagnostics.span import Span
from stepwell.model.language import Language
from stepwell.model.texts import names_in
from stepwell.model.translation import TranslatedText, Translation
from stepwell.quantities.units import UNITS
from stepwell.source import translation_faults as faults
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.notes import Notes
from stepwell.source.po_file import PoEntry, PoProblemError, parse_po

_FIGURE = re.compile(r"(?<![\w{])[-\u2212]?\d+(?:[.,]\d+)*(?![\w-]*\})")
_UNIT = re.compile(r"[ \u00a0\u202f]?([^\W\d_][\w/]*|%)")
_TOKEN = re.compile(r"\{\{|\}\}|\{[^{}\n]*\}")
_WORDS = frozenset({"in", "day", "days", "pieces", "times"})
"""Symbols that are English words, which a translation has to translate."""
_LONG = 3
"""So many words are no name that may be the same in both languages."""


def read_translation(
    text: str, notes: Notes, language: Language, known: Mapping[str, set[str]] | None, stem: str
) -> Translation:
    """A file's translation. ``known`` are the unit's texts by context; None if some of the unit could not be read."""
    try:
        file = parse_po(text)
    except PoProblemError as problem:
        notes.add(faults.NOT_READABLE, _line(notes, problem.line, text.split("\n")), problem.message, problem.mend)
        return Translation(language=stem, texts=(), path=notes.path)
    if file.entries and file.language != stem:
        said = f"says {quote(file.language)}" if file.language else "does not say its language"
        notes.add(
            faults.OTHER_LANGUAGE,
            notes.top(),
            f"The header {said}, but the file is called {stem}.po. None of it is used.",
            f'Write `"Language: {stem}\\n"` in the header if it is that language, or rename the file.',
        )
        return Translation(language=stem, texts=(), path=notes.path)
    reader = _Reader(notes, language, known, text)
    texts = tuple(
        TranslatedText(context=one.context, english=one.english, words=one.words)
        for one in file.entries
        if reader.usable(one)
    )
    return Translation(language=stem, texts=texts, path=notes.path)


class _Reader:
    """Judges one entry after another."""

    def __init__(self, notes: Notes, language: Language, known: Mapping[str, set[str]] | None, text: str) -> None:
        self.notes = notes
        self.language = language
        self.known = known
        self.lines = text.split("\n")
        self.seen: dict[tuple[str, str], int] = {}

    def usable(self, one: PoEntry) -> bool:
        """Whether an entry may be printed; what is wrong with it is noted."""
        if one.obsolete:
            return False
        span = _line(self.notes, one.line, self.lines)
        self.notes.step = one.context if ":" not in one.context and one.context != "unit" else None
        fine = self._once(one, span) and self._belongs(one, span) and self._whole(one, span)
        self.notes.step = None
        return fine and bool(one.words.strip()) and not one.fuzzy

    def _once(self, one: PoEntry, span: Span) -> bool:
        first = self.seen.setdefault((one.context, one.english), one.line)
        if first == one.line:
            return True
        self.notes.add(
            faults.TWICE,
            span,
            f"{quote(one.english)} at {quote(one.context)} is translated already in line {first}.",
            "Delete one of the two.",
            related=(Related(message="the first", span=_line(self.notes, first, self.lines)),),
        )
        return False

    def _belongs(self, one: PoEntry, span: Span) -> bool:
        if one.plural:
            self.notes.add(faults.PLURAL, span, "An entry has `msgid_plural`.", "Translate the text as it stands.")
            return False
        if self.known is None:
            return True
        if one.context not in self.known:
            what = "step" if ":" not in one.context else "thing"
            self.notes.add(
                faults.UNKNOWN_PLACE,
                span,
                f"There is no {what} {quote(one.context)} in this unit.",
                did_you_mean(one.context, self.known, what="Contexts are such as", most=4),
            )
            return False
        if one.english not in self.known[one.context]:
            if one.words:
                self.notes.add(
                    faults.OLD_TEXT,
                    span,
                    f"{quote(one.english)} does not stand at {quote(one.context)} any more.",
                    "Run `stepwell words`, then confirm what it marks as fuzzy.",
                )
            return False
        return True

    def _whole(self, one: PoEntry, span: Span) -> bool:
        if not one.words.strip() or one.fuzzy:
            return True
        return self._names(one, span) and self._figures(one, span) and self._translated(one, span)

    def _names(self, one: PoEntry, span: Span) -> bool:
        wanted, got = names_in(one.english), names_in(one.words)
        lost = [f"{{{name}}}" for name in wanted if name not in got]
        put_in = [f"{{{name}}}" for name in got if name not in wanted]
        lone = [brace for brace in _TOKEN.sub("", one.words) if brace in "{}"]
        if not (lost or put_in or lone):
            return True
        said = [f"loses {listed(lost)}"] if lost else []
        said += [f"puts in {listed(put_in)}"] if put_in else []
        said += [f"has a brace that stands alone ({listed(dict.fromkeys(lone))})"] if lone else []
        self.notes.add(
            faults.NAMES_DIFFER,
            span,
            f"The translation at {quote(one.context)} {', and '.join(said)}.",
            f"Write {listed(f'{{{name}}}' for name in wanted)} as in the English." if wanted else "Leave it out.",
        )
        return False

    def _figures(self, one: PoEntry, span: Span) -> bool:
        wanted = Counter((self.language.number(number), unit) for number, unit in figures(one.english))
        got = Counter(figures(one.words))
        if wanted == got:
            return True
        lost = [f"{number} {unit}".strip() for number, unit in (wanted - got).elements()]
        put_in = [f"{number} {unit}".strip() for number, unit in (got - wanted).elements()]
        said = [f"lacks {listed(lost)}"] if lost else []
        said += [f"has {listed(put_in)} instead" if lost else f"puts in {listed(put_in)}"] if put_in else []
        self.notes.add(
            faults.FIGURES_DIFFER,
            span,
            f"The translation at {quote(one.context)} {' and '.join(said)}.",
            "Keep every figure and unit of the English, with the decimal sign of the language.",
        )
        return False

    def _translated(self, one: PoEntry, span: Span) -> bool:
        if one.words != one.english or len(re.findall(r"[^\W\d_]+", _TOKEN.sub(" ", one.english))) < _LONG:
            return True
        self.notes.add(
            faults.SAME_AS_ENGLISH,
            span,
            f"The translation of {quote(one.english)} is the English itself.",
            "Translate it, or leave it empty so that it is marked as English.",
        )
        return False


def figures(text: str) -> list[tuple[str, str]]:
    """Every figure of a written text with its unit, or with nothing where none follows."""
    found = []
    bare = _TOKEN.sub(lambda match: "\x01" * len(match[0]), text)
    for match in _FIGURE.finditer(bare):
        unit = _UNIT.match(bare, match.end())
        symbol = unit[1] if unit and unit[1] in UNITS and unit[1] not in _WORDS else ""
        found.append((match[0].replace("\u2212", "-"), symbol))
    return found


def _line(notes: Notes, line: int, lines: Sequence[str]) -> Span:
    width = len(lines[line - 1]) if 0 < line <= len(lines) else 0
    return Span(path=notes.path, line=line, column=1, end_line=line, end_column=width + 1)
