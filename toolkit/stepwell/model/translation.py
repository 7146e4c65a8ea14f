"""What a translator has confirmed of a unit's texts in one language."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TranslatedText:
    """``words`` stand for ``english`` at ``context``; both as they would be written in a file."""

    context: str
    english: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Translation:
    """One language. Only entries that are confirmed and without a fault are in it."""

    language: str
    texts: tuple[TranslatedText, ...]
    path: str = ""
