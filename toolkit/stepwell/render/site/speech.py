"""How words are cut and spelt in a language, so that what is typed meets what is written."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

_WORD = re.compile(r"[^\W_]+(?:-[^\W_]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """``small`` are words that say nothing when asked for, ``spelling`` letters that are also written otherwise.

    ``parts``: the language glues words together, so that a word is looked for inside of others as well. The script of the
    search folds what is typed in the same way.
    """

    small: tuple[str, ...] = ()
    spelling: Mapping[str, str] = field(default_factory=dict)
    parts: bool = False

    def fold(self, text: str) -> str:
        """Lower case without accents; subscripts and ligatures as plain letters (NFKD)."""
        plain = unicodedata.normalize("NFC", text).lower()
        for letter, others in self.spelling.items():
            plain = plain.replace(letter, others)
        spread = unicodedata.normalize("NFKD", plain)
        return "".join(c for c in spread if not "\u0300" <= c <= "\u036f").lower()

    def words(self, text: str) -> tuple[str, ...]:
        """The words of a text, folded; a hyphenated id stays one word."""
        return tuple(_WORD.findall(self.fold(text)))

    def stems(self, text: str) -> tuple[str, ...]:
        """The words that count, without the ``s`` of the plural, so that "bubble alarm" meets "bubbles"."""
        kept = (word for word in self.words(text) if word not in self.small)
        return tuple(
            word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word for word in kept
        )


_SPOKEN: Mapping[str, Speech] = {
    "en": Speech(small=("a", "an", "and", "for", "from", "in", "into", "is", "of", "on", "or", "the", "to", "with")),
    "de": Speech(
        small=(
            *("am", "an", "auf", "aus", "bei", "das", "dem", "den", "der", "die", "ein", "eine", "einen", "fuer"),
            *("im", "in", "ist", "mit", "oder", "und", "vom", "von", "zu", "zum", "zur"),
        ),
        spelling={"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss"},
        parts=True,
    ),
}


def speech_of(code: str) -> Speech:
    """That of a language; a language that is not known has no small words and no other spellings."""
    return _SPOKEN.get(code, Speech())
