"""The unit that owns the procedures: its roles, numbers, words."""

from __future__ import annotations

from dataclasses import dataclass, field

from stepwell.diagnostics.span import Span
from stepwell.model.policy import Policy
from stepwell.model.quantity import Quantity
from stepwell.model.review import Place, ReviewPolicy


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """A role by which people appear; ``label`` is what cards print, ``mark`` a short form of one to three letters."""

    id: str
    label: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """A figure that the unit sets, used in texts as ``{name}`` and in actions and rules by name."""

    name: str
    value: Quantity
    note: str = ""
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Synonym:
    """Words that mean the same when searching; the first is the unit's own."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WordList:
    """Synonyms in another language. ``reviewed_by`` is the role that looked through them; empty if nobody has."""

    language: str
    synonyms: tuple[Synonym, ...]
    reviewed_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """``unit.yaml`` and ``terms.yaml``."""

    name: str
    region: str
    languages: tuple[str, ...]
    roles: tuple[Role, ...]
    numbers: tuple[Number, ...]
    reading_distance: Quantity
    notice: str = ""
    synonyms: tuple[Synonym, ...] = ()
    word_lists: tuple[WordList, ...] = ()
    """Synonyms in other languages than English."""
    avoid: tuple[tuple[str, str], ...] = ()
    """Words to avoid and what to write instead."""
    review: ReviewPolicy | None = None
    places: tuple[Place, ...] = ()
    policy: Policy = ()
    """What the unit has recorded where published orders disagree."""
    path: str = ""

    def word_list(self, language: str) -> WordList:
        """The synonyms in a language; without words where the unit has none."""
        if language == "en":
            return WordList(language="en", synonyms=self.synonyms)
        return next((one for one in self.word_lists if one.language == language), WordList(language=language, synonyms=()))
