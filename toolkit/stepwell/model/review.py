"""Who may approve what: the unit's review policy, and the places where its cards hang."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from stepwell.diagnostics.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Signer:
    """Somebody who may approve, by a name of the unit's choosing and never a person's.

    ``key`` is an OpenSSH public key ("ssh-ed25519 AAAA..."), empty for somebody whose word is taken from minutes only.
    """

    id: str
    roles: tuple[str, ...]
    key: str = ""
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """So many approvals by people in this role."""

    role: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Quorum:
    """The seats that must be filled for one sort of subject: a kind of procedure, or ``policy``."""

    sort: str
    seats: tuple[Seat, ...]


ON_CONFIRMATION = 2
"""House default, common practice, no source: so many critical steps of a procedure may lean on a confirmation alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewPolicy:
    """How documents are approved here.

    ``minutes_count``: approvals entered from minutes fill a seat. ``review_after``: months from the effective date to the
    review. ``copy_valid``: days for which a copy of the site may say that a card is current. ``walk_through``: a critical
    change needs one on record before its release. ``on_confirmation``: so many critical steps of one procedure may lean
    on a second person's confirmation alone.
    """

    signers: tuple[Signer, ...]
    quorums: tuple[Quorum, ...]
    minutes_count: bool = False
    review_after: int = 12
    copy_valid: int = 30
    walk_through: bool = True
    on_confirmation: int = ON_CONFIRMATION

    def signer(self, name: str) -> Signer | None:
        """The signer of this name, or None."""
        return next((signer for signer in self.signers if signer.id == name), None)

    def quorum(self, sort: str) -> Quorum | None:
        """The quorum for this sort of subject, or None."""
        return next((quorum for quorum in self.quorums if quorum.sort == sort), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Somewhere copies of cards hang; ``cards`` are ids of procedures."""

    id: str
    label: str
    cards: tuple[str, ...]
    spans: tuple[tuple[str, Span], ...] = field(default=(), compare=False)
    """Where each card was written down."""
