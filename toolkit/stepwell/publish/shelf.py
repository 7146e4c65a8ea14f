"""Which cards are in force, and which are not any more: what the pages for staff need to know of the ledger."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stepwell.publish.sheet import ReleaseMark, Sheet

COPY_LIMIT_DAYS = 30
"""How old a copy may be, where the unit does not say, before it can't tell whether a card is current. A house figure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OldCard:
    """A card that is not in force. ``state`` in words; ``code`` as it is printed, without spaces."""

    version: str
    code: str
    state: str


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
class ShelfCard:
    """A procedure with its cards. ``version`` and ``code`` are those of the card in force, empty if there is none;
    ``review`` is the day by which that one is to be reviewed.

    ``mark`` is None where the folder holds something else than what is in force, so that a page of it is a draft.
    """

    procedure: str
    version: str = ""
    code: str = ""
    review: date | None = None
    mark: ReleaseMark | None = None
    old: tuple[OldCard, ...] = ()
    withdrawn: str = ""
    """Why the newest card was withdrawn; empty if it was not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """All of them. ``trouble``: the ledger is not whole, so nothing may be called current."""

    cards: tuple[ShelfCard, ...] = ()
    trouble: bool = False
    copy_limit: int = COPY_LIMIT_DAYS

    def card(self, procedure: str) -> ShelfCard:
        """The card of a procedure; an empty one if none was ever released."""
        return next((card for card in self.cards if card.procedure == procedure), ShelfCard(procedure=procedure))

    def knows(self, procedure: str) -> bool:
        """Whether a card of this procedure was ever released."""
        return any(card.procedure == procedure for card in self.cards)


NOTHING_RELEASED = Shelf()
