"""A review policy as JSON data and back, so that the ledger can hold the one that is in force."""

from __future__ import annotations

from datetime import date

from stepwell.ledger.canonical import Json, digest
from stepwell.model.review import Quorum, ReviewPolicy, Seat, Signer


def policy_plain(policy: ReviewPolicy) -> dict[str, Json]:
    """The policy as JSON data; the order in which signers and seats were written down does not matter."""
    return {
        "signers": {
            signer.id: {
                "roles": list[Json](sorted(signer.roles)),
                "key": " ".join(signer.key.split()[:2]),
                "since": signer.since.isoformat() if signer.since else "",
                "until": signer.until.isoformat() if signer.until else "",
            }
            for signer in policy.signers
        },
        "quorum": {quorum.sort: {seat.role: seat.count for seat in quorum.seats} for quorum in policy.quorums},
        "minutes-count": policy.minutes_count,
        "review-after-months": policy.review_after,
        "copy-valid-days": policy.copy_valid,
        "walk-through": policy.walk_through,
    }


def policy_hash(policy: ReviewPolicy) -> str:
    """SHA-256 of the policy."""
    return digest(policy_plain(policy))


def policy_of(plain: Json) -> ReviewPolicy | None:
    """The policy that an entry holds; None if it is none."""
    try:
        return _policy(plain)
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


def _policy(plain: Json) -> ReviewPolicy:
    if not isinstance(plain, dict):
        raise TypeError("no mapping")
    signers, quorums = plain["signers"], plain["quorum"]
    if not isinstance(signers, dict) or not isinstance(quorums, dict):
        raise TypeError("no mapping")
    found = ReviewPolicy(
        signers=tuple(_signer(name, value) for name, value in signers.items()),
        quorums=tuple(_quorum(sort, value) for sort, value in quorums.items()),
        minutes_count=plain["minutes-count"] is True,
        review_after=_whole(plain["review-after-months"]),
        copy_valid=_whole(plain["copy-valid-days"]),
        walk_through=plain["walk-through"] is True,
    )
    if policy_plain(found) != plain:
        raise ValueError("not what it would be written as")
    return found


def _signer(name: str, value: Json) -> Signer:
    if not isinstance(value, dict) or not isinstance(value["roles"], list):
        raise TypeError("no signer")
    return Signer(
        id=name,
        roles=tuple(str(role) for role in value["roles"]),
        key=str(value["key"]),
        since=_day(value["since"]),
        until=_day(value["until"]),
    )


def _quorum(sort: str, value: Json) -> Quorum:
    if not isinstance(value, dict):
        raise TypeError("no quorum")
    return Quorum(sort=sort, seats=tuple(Seat(role=role, count=_whole(count)) for role, count in value.items()))


def _whole(value: Json) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError("no whole number")
    return value


def _day(value: Json) -> date | None:
    return date.fromisoformat(str(value)) if value else None
