"""A language that is printed: its fixed words, and what the unit's translator has confirmed.

English is what everything is written in. In any other language a word or a line that is missing stands in English, with
``MARK`` before it, so that nobody takes it for translated.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

MARK = "[EN] "
"""Stands before whatever is shown in English because its translation is missing or not confirmed."""
_DAY = "%Y-%m-%d"


@dataclass(frozen=True, slots=True, kw_only=True)
class Language:
    """``words`` are the tool's own by where they stand and their English; ``texts`` the unit's by context and English.

    A text of the unit that is missing, not confirmed or faulty is not among ``texts``.
    """

    code: str = "en"
    words: Mapping[tuple[str, str], str] = field(default_factory=dict)
    texts: Mapping[tuple[str, str], str] = field(default_factory=dict)

    @property
    def english(self) -> bool:
        """True if nothing is translated."""
        return self.code == "en"

    def say(self, where: str, english: str, **slots: str) -> str:
        """A fixed word or sentence; ``{name}`` in it is replaced by the slot of that name."""
        words = english if self.english else self.words.get((where, english), f"{MARK}{english}")
        return re.sub(r"\{([a-z_]+)\}", lambda m: slots.get(m[1], m[0]), words) if slots else words

    def knows(self, where: str, english: str) -> bool:
        """Whether there is such a fixed word in this language."""
        return self.english or (where, english) in self.words

    def text(self, context: str, english: str) -> str:
        """A text of the unit, as it would stand in the unit's files."""
        if self.english or not english:
            return english
        return self.texts.get((context, english), f"{MARK}{english}")

    def number(self, words: str) -> str:
        """Figures with the decimal sign of the language; nothing else is changed."""
        return words if self.english else re.sub(r"(?<=\d)\.(?=\d)", self.words.get(("number", "."), "."), words)

    def day(self, day: date) -> str:
        """A date as it is written in the language."""
        return day.strftime(self.words.get(("date", _DAY), _DAY))


ENGLISH = Language()
