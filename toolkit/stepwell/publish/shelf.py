"""Which cards are in force, and which are not any more: what the pages for staff need to know of the ledger."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from stepwell.model.language import Language
from stepwell.publish.sheet import ReleaseMark, Sheet

COPY_LIMIT_DAYS = 30
"""How old a copy may be, where the unit does not say, before it can't tell whether a card is current. A house figure."""


class WhyDraft(StrEnum):
    """Why a page is a draft though a card of the procedure was released; the words are those of the page's face."""

    NONE = ""
    CHANGED = "changed since version {version} was released"
    OTHER_LANGUAGE = "version {version} was not released in this language"
    NOT_KEPT = "the card that was released is missing or was altered"
    TROUBLE = "something is wrong with the list of releases"
    WITHDRAWN = "version {version} was withdrawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class OldCard:
    """A card that is not in force. ``state`` in words; ``code`` as it is printed, without spaces."""

    version: str
    code: str
    state: str
    language: str = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCard:
    """A card as it was released, read from what was kept. ``state`` in words, ``reason`` why it was withdrawn.

    ``in_force``: it is the one to use, though the folder may hold a draft of the next. ``now``: the version in force.
    """

    sheet: Sheet
    state: str
    in_force: bool
    effective: date
    reason: str = ""
    now: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherCard:
    """The card in force in another language than English, as ``ShelfCard`` has it of the English one."""

    language: str
    code: str
    mark: ReleaseMark | None = None
    why: WhyDraft = WhyDraft.NONE


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfCard:
    """A procedure with its cards. ``version`` and ``code`` are those of the card in force, empty if there is none;
    ``review`` is the day by which that one is to be reviewed.

    ``mark`` is None where the folder holds something else than what is in force, so that a page of it is a draft;
    ``why`` then says why. ``others`` are the cards of the same release in other languages.
    """

    procedure: str
    version: str = ""
    code: str = ""
    review: date | None = None
    mark: ReleaseMark | None = None
    old: tuple[OldCard, ...] = ()
    withdrawn: str = ""
    """Why the newest card was withdrawn; empty if it was not."""
    why: WhyDraft = WhyDraft.NONE
    others: tuple[OtherCard, ...] = ()
    last: str = ""
    """The version of the newest release, whatever became of it."""

    @property
    def codes(self) -> tuple[str, ...]:
        """The codes of the card in force, in every language that it was released in."""
        return tuple(code for code in (self.code, *(one.code for one in self.others)) if code)

    def mark_in(self, language: str) -> ReleaseMark | None:
        """What an unmarked page in a language is bound to; None where it is a draft."""
        if language == "en":
            return self.mark
        return next((one.mark for one in self.others if one.language == language), None)

    def why_in(self, language: str) -> WhyDraft:
        """Why a page in a language is a draft, as far as releases go."""
        found = {"en": self.why, **{one.language: one.why for one in self.others}}
        if language in found or not self.version or self.why is WhyDraft.TROUBLE:
            return found.get(language, self.why)
        return WhyDraft.OTHER_LANGUAGE

    def had(self, language: str) -> bool:
        """Whether there is or was a card in a language besides English."""
        return language in {*(one.language for one in self.others), *(one.language for one in self.old)}

    def told_in(self, language: Language) -> str:
        """The same in words, in the language; empty if there is nothing to say."""
        why = self.why_in(language.code)
        return language.say("card", why.value, version=self.version or self.last) if why else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """All of them. ``trouble``: the ledger is not whole, so nothing may be called current."""

    cards: tuple[ShelfCard, ...] = ()
    trouble: bool = False
    copy_limit: int = COPY_LIMIT_DAYS

    def card(self, procedure: str) -> ShelfCard:
        """The card of a procedure; an empty one if none was ever released."""
        return next((card for card in self.cards if card.procedure == procedure), ShelfCard(procedure=procedure))

    def knows(self, procedure: str, language: str = "en") -> bool:
        """Whether a card of this procedure was ever released in a language."""
        return any(card.procedure == procedure and (language == "en" or card.had(language)) for card in self.cards)


NOTHING_RELEASED = Shelf()
