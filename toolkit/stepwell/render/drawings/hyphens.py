"""Where long words may be broken with a hyphen.

An author's soft hyphen (U+00AD) comes first. Else the typesetter is asked: it carries the patterns of the TeX community
for some thirty languages, and here it sets each word in a column that holds one syllable. Of the places between its
syllables those are preferred where a compound word is joined from others: what stands on one side is a word of the same
set by itself, or ends other words of the set too (as in ``Rezirkulations-klemme`` beside ``Drainage-klemme``).
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

SOFT_HYPHEN = "\u00ad"
SYLLABLE, JOINT = 3, 4
"""The fewest letters on either side of a break, and on either side of one where a compound word is joined."""
COMPOUNDING = frozenset({"da", "de", "fi", "is", "nb", "nl", "nn", "no", "sv"})
"""Languages that write compounds as one word."""

_COLUMN = """
#set page(width: 200pt, height: auto, margin: 0pt)
#set text(lang: sys.inputs.language, hyphenate: true, size: 5pt)
#set par(leading: 0pt, spacing: 0pt)
#for (at, word) in json(bytes(sys.inputs.words)).enumerate() {
  block(width: 1pt, breakable: false, spacing: 5pt, {
    for (n, char) in word.clusters().enumerate() { [#char#metadata((at, n))<char>] }
  })
}
"""
_QUERY = "query(<char>).map(m => (m.value.at(0), m.value.at(1), m.location().position().y / 1pt))"
_WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True)
class Hyphens:
    """How the words of one set are broken. ``kin`` are the words of its labels in small letters."""

    language: str
    kin: frozenset[str]

    @property
    def compounds(self) -> bool:
        """Whether words of this language are worth breaking before they are wider than a line."""
        return self.language in COMPOUNDING

    def syllables(self, word: str) -> tuple[int, ...]:
        """Places between syllables, as the number of letters before them."""
        low = word.lower()
        known = self.kin if low in self.kin else frozenset({low})
        places = _table(self.language, known).get(low, ())
        return tuple(at for at in places if SYLLABLE <= at <= len(word) - SYLLABLE)

    def joints(self, word: str) -> tuple[int, ...]:
        """Of those, the places where words are joined."""
        return _joints(self, word)


@lru_cache(maxsize=4096)
def _joints(hyphens: Hyphens, word: str) -> tuple[int, ...]:
    low, kin = word.lower(), hyphens.kin
    places = [at for at in hyphens.syllables(word) if len(word) - at >= JOINT]
    whole = [at for at in places if low[at:] in kin or low[:at] in kin]
    if whole:
        return tuple(whole)
    shared = [at for at in places if any(one.endswith(low[at:]) and one != low for one in kin)]
    return tuple(shared[:1])


def hyphens_of(texts: Iterable[str], language: str) -> Hyphens:
    """For the texts of one set in one language."""
    return Hyphens(language, frozenset(word.lower() for text in texts for _, word in words_in(text)))


def words_in(text: str) -> list[tuple[int, str]]:
    """The words of a text, each with where it begins."""
    return [(one.start(), one.group()) for one in _WORD.finditer(text)]


@lru_cache(maxsize=64)
def _table(language: str, words: frozenset[str]) -> dict[str, tuple[int, ...]]:
    """Places between the syllables of words; a language without patterns has none."""
    asked = sorted(word for word in words if len(word) >= 2 * SYLLABLE)
    if not asked or not re.fullmatch(r"[a-z]{2,3}", language):
        return {}
    import typst  # here, because the typesetter is not needed for a set whose words are short

    inputs = {"words": json.dumps(asked, ensure_ascii=False), "language": language}
    answer = typst.Compiler(_COLUMN.encode(), ignore_system_fonts=True, sys_inputs=inputs).eval(_QUERY)
    lines: dict[str, list[float]] = {}
    for at, _, y in json.loads(answer):
        lines.setdefault(asked[at], []).append(float(y))
    # A word whose clusters are not its letters is left whole.
    return {
        word: tuple(at for at in range(1, len(word)) if ys[at] - ys[at - 1] > 0.1)
        for word, ys in lines.items()
        if len(ys) == len(word)
    }
