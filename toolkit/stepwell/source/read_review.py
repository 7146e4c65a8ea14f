"""``review`` and ``places`` of unit.yaml: who approves what, and where cards hang."""

from __future__ import annotations

import re
from datetime import date

from stepwell.model.review import ON_CONFIRMATION, Place, Quorum, ReviewPolicy, Seat, Signer
from stepwell.source import faults
from stepwell.source.fields import Fields, described, note_name
from stepwell.source.near import did_you_mean, quote
from stepwell.source.nodes import Entry, Mapping, Node, Scalar
from stepwell.source.read_text import scalar_text
from stepwell.source.scope import Scope
from stepwell.source.sections import PLACE, REVIEW, SIGNER, Section

SORTS = ("routine", "emergency", "check", "policy")
"""What has a quorum: the kinds of procedure, and the review policy itself."""

KEY_PATTERN = r"ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAI[A-Za-z0-9+/]{43}( .*)?"
_KEY = re.compile(KEY_PATTERN)
MOST_SEATS, MOST_MONTHS, MOST_DAYS, MOST_STEPS = 20, 120, 3650, 99


def read_review(fields: Fields, scope: Scope) -> ReviewPolicy | None:
    """The review policy of the unit; None if it states none. ``scope.roles`` must be known by now."""
    mapping = fields.mapping("review")
    if mapping is None:
        return None
    inner = Fields(mapping, REVIEW, scope.notes, fields.node.entries["review"].key_span).check()
    return ReviewPolicy(
        signers=_signers(inner, scope),
        quorums=_quorums(inner, scope),
        minutes_count=inner.flag("minutes-count"),
        review_after=inner.whole("review-after-months", 12, 1, MOST_MONTHS),
        copy_valid=inner.whole("copy-valid-days", 30, 1, MOST_DAYS),
        walk_through=not inner.has("walk-through") or inner.flag("walk-through"),
        on_confirmation=inner.whole("steps-on-confirmation", ON_CONFIRMATION, 0, MOST_STEPS),
    )


def read_places(fields: Fields, scope: Scope) -> tuple[Place, ...]:
    """The places where cards hang."""
    mapping = fields.mapping("places")
    found = []
    for entry in () if mapping is None else mapping.entries.values():
        inner = _mapping(entry, PLACE, scope, "{label: Trolley in bay 1, cards: [air-in-circuit]}")
        if inner is None:
            continue
        nodes = [node for item in inner.listing("cards", empty=False) if (node := _word(item, scope)) is not None]
        found.append(
            Place(
                id=entry.key,
                label=inner.text("label"),
                cards=tuple(dict.fromkeys(node.text for node in nodes)),
                spans=tuple((node.text, node.span) for node in nodes),
            )
        )
    return tuple(found)


def note_lost_cards(places: tuple[Place, ...], scope: Scope) -> None:
    """Note cards of places that are no procedures: such a card would never be recalled."""
    for place in places:
        for name, span in place.spans:
            if scope.procedures is not None and name not in scope.procedures:
                scope.notes.add(
                    faults.UNKNOWN_PROCEDURE,
                    span,
                    f"There is no procedure {quote(name)}, so it would never be recalled from {place.label}.",
                    did_you_mean(name, sorted(scope.procedures), what="There are"),
                )


def _word(item: Node, scope: Scope) -> Scalar | None:
    return scalar_text(item, scope, "A card", "cards: [air-in-circuit]")


def _mapping(entry: Entry, section: Section, scope: Scope, example: str) -> Fields | None:
    note_name(scope.notes, entry.key, entry.key_span, f"the id of {section.noun.removeprefix('the ')}")
    if not isinstance(entry.value, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            entry.key_span,
            f"{quote(entry.key)} takes a group of `key: value`, but here is {described(entry.value)}.",
            f"Write for example `{entry.key}: {example}`.",
        )
        return None
    return Fields(entry.value, section, scope.notes, entry.key_span, f"{section.noun} {quote(entry.key)}").check()


def _signers(fields: Fields, scope: Scope) -> tuple[Signer, ...]:
    mapping = fields.mapping("signers")
    found: list[Signer] = []
    for entry in () if mapping is None else mapping.entries.values():
        inner = _mapping(entry, SIGNER, scope, "{roles: [nurse], key: ssh-ed25519 AAAA...}")
        if inner is None:
            continue
        roles = []
        for item in inner.listing("roles", empty=False):
            node = scalar_text(item, scope, "A role", "roles: [nurse]")
            if node is not None:
                roles.append(scope.role(node))
        found.append(
            Signer(
                id=entry.key,
                roles=tuple(dict.fromkeys(roles)),
                key=_key(inner, found, scope),
                since=_day(inner, "since", scope),
                until=_day(inner, "until", scope),
            )
        )
    return tuple(found)


def _key(fields: Fields, others: list[Signer], scope: Scope) -> str:
    node = fields.scalar("key")
    if node is None:
        return ""
    text = " ".join(node.text.split()[:2])
    if not _KEY.fullmatch(text):
        scope.notes.add(
            faults.MALFORMED_ID,
            node.span,
            "`key` is not an OpenSSH public key of the kind Ed25519.",
            "Make one with `ssh-keygen -t ed25519`, and copy the line of the file that ends in .pub.",
        )
    same = next((other for other in others if other.key == text), None)
    if same is not None:
        scope.notes.add(
            faults.DUPLICATE_NAME,
            node.span,
            f"{quote(same.id)} has this key already, so one person would count as two.",
            "Give each signer a key of their own.",
        )
    return text


def _day(fields: Fields, key: str, scope: Scope) -> date | None:
    node = fields.scalar(key)
    if node is None:
        return None
    try:
        if len(node.text) == 10:
            return date.fromisoformat(node.text)
    except ValueError:
        pass
    scope.notes.add(
        faults.MALFORMED_DATE,
        node.span,
        f"{quote(key)} takes a date, but here is {described(node)}.",
        f"Write year-month-day, for example `{key}: 2026-10-01`.",
    )
    return None


def _quorums(fields: Fields, scope: Scope) -> tuple[Quorum, ...]:
    mapping = fields.mapping("quorum")
    found = []
    for entry in () if mapping is None else mapping.entries.values():
        if entry.key not in SORTS:
            scope.notes.add(
                faults.UNKNOWN_KEY,
                entry.key_span,
                f"{quote(entry.key)} has no quorum.",
                did_you_mean(entry.key, SORTS, what="A quorum is set for"),
            )
            continue
        if not isinstance(entry.value, Mapping) or not entry.value.entries:
            scope.notes.add(
                faults.WRONG_TYPE,
                entry.key_span,
                f"The quorum {quote(entry.key)} takes roles with numbers, but here is {described(entry.value)}.",
                f"Write for example `{entry.key}: {{ecmo-physician: 1}}`.",
            )
            continue
        seats = tuple(seat for one in entry.value.entries.values() if (seat := _seat(one, scope)) is not None)
        found.append(Quorum(sort=entry.key, seats=seats))
    return tuple(found)


def _seat(entry: Entry, scope: Scope) -> Seat | None:
    if scope.roles is not None and entry.key not in scope.roles:
        mend = did_you_mean(entry.key, scope.roles, what="The unit's roles are")
        scope.notes.add(faults.UNKNOWN_ROLE, entry.key_span, f"The unit has no role {quote(entry.key)}.", mend)
    value = entry.value.value if isinstance(entry.value, Scalar) else None
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_SEATS:
        scope.notes.add(
            faults.OUT_OF_RANGE,
            entry.value.span,
            f"{quote(entry.key)} takes how many people must approve, from 1 to {MOST_SEATS}.",
            f"Write for example `{entry.key}: 1`.",
        )
        return None
    return Seat(role=entry.key, count=value)
