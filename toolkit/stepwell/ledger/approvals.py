"""Which approvals count, and whether they fill the seats that the policy asks for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from stepwell.ledger.entry import Entry
from stepwell.ledger.problems import (
    ONE_PERSON_TWICE,
    OTHER_CONTENT,
    OWN_APPROVAL,
    SIGNATURE_WRONG,
    SIGNER_UNKNOWN,
    Problem,
)
from stepwell.ledger.sshsig import verifies
from stepwell.model.review import Quorum, ReviewPolicy, Seat, Signer


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """An approval that counts. ``signed`` False: it was entered from minutes, "recorded, not signed"."""

    entry: str
    signer: str
    role: str
    signed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """The approvals of one proposal: those that count, why the others do not, and the seats still empty."""

    counted: tuple[Counted, ...]
    problems: tuple[Problem, ...]
    missing: tuple[Seat, ...]

    @property
    def met(self) -> bool:
        """True if every seat is filled."""
        return not self.missing


def tally(proposal: Entry, approvals: Iterable[Entry], policy: ReviewPolicy, quorum: Quorum | None) -> Tally:
    """Count the approvals of a proposal under a policy. Without a quorum nothing is ever enough."""
    counted: list[Counted] = []
    problems: list[Problem] = []
    people: set[str] = set()
    for entry in approvals:
        problem = _objection(entry, proposal, policy, people)
        if problem is not None:
            problems.append(problem)
            continue
        signer = policy.signer(entry.text("signer"))
        people |= {entry.text("signer"), *(() if signer is None or not signer.key else (_key(signer),))}
        counted.append(
            Counted(entry=entry.id, signer=entry.text("signer"), role=entry.text("role"), signed=entry.signature is not None)
        )
    missing = (Seat(role="(no quorum is set)", count=1),) if quorum is None else _missing(counted, quorum)
    return Tally(counted=tuple(counted), problems=tuple(problems), missing=missing)


def may_sign(signer: Signer | None, role: str, on: date) -> bool:
    """True if the signer is known, has the role, and is within the dates."""
    if signer is None or role not in signer.roles:
        return False
    return (signer.since is None or signer.since <= on) and (signer.until is None or on <= signer.until)


def _objection(entry: Entry, proposal: Entry, policy: ReviewPolicy, people: set[str]) -> Problem | None:
    """Why an approval does not count; None if it does."""
    subject = proposal.subject
    same = all(entry.text(key) == proposal.text(key) for key in ("subject", "version", "content"))
    if entry.kind != "approve" or not same or entry.text("meaning") != "approved":
        return OTHER_CONTENT.at(entry.id, procedure=subject)
    name, role = entry.text("signer"), entry.text("role")
    signer = policy.signer(name)
    if signer is None or not may_sign(signer, role, entry.time.date()):
        return SIGNER_UNKNOWN.at(entry.id, f"{name or 'Nobody'} as {role or 'nothing'}.", procedure=subject)
    if entry.signature is not None:
        if not signer.key or not verifies(entry.signed, entry.signature, signer.key):
            return SIGNATURE_WRONG.at(entry.id, f"It says {name}.", procedure=subject)
    elif not (policy.minutes_count and entry.text("minutes")):
        return SIGNATURE_WRONG.at(entry.id, f"{name} did not sign, and minutes do not count here.", procedure=subject)
    author = policy.signer(proposal.text("author"))
    same_key = author is not None and bool(author.key) and bool(signer.key) and _key(author) == _key(signer)
    if name == proposal.text("author") or same_key:
        return OWN_APPROVAL.at(entry.id, f"{name} wrote it.", procedure=subject)
    if name in people or (signer.key and _key(signer) in people):
        return ONE_PERSON_TWICE.at(entry.id, f"{name}, as {role}.", procedure=subject)
    return None


def _key(signer: Signer) -> str:
    return " ".join(signer.key.split()[:2])


def _missing(counted: list[Counted], quorum: Quorum) -> tuple[Seat, ...]:
    out = []
    for seat in quorum.seats:
        filled = sum(1 for one in counted if one.role == seat.role)
        if filled < seat.count:
            out.append(Seat(role=seat.role, count=seat.count - filled))
    return tuple(out)
