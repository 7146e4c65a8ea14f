"""One entry of the ledger: what happened, when, after which earlier entries, and its signature.

An entry is a JSON object with exactly the keys ``stepwell``, ``kind``, ``time``, ``parents``, ``body`` and ``signature``.
Its id is the SHA-256 of its canonical form, so it can't be changed without being another entry. What is signed is the
kind, the time and the body; the parents are left out, so that merging two branches never needs a new signature.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cached_property

from stepwell.ledger.canonical import Json, NotCanonicalError, canonical, digest
from stepwell.ledger.prints import Print, prints_of

FORM = 1
KINDS: dict[str, tuple[str, ...]] = {
    "propose": ("subject", "version", "content", "parts", "author", "why"),
    "approve": ("subject", "version", "content", "signer", "role", "meaning", "minutes", "entered-by"),
    "walk-through": ("subject", "content", "model", "day", "roles", "note"),
    "release": (
        "subject", "version", "content", "parts", "proposal", "approvals", "effective", "review", "pdf", "signer", "tool",
    ),
    "withdraw": ("subject", "release", "reason", "signer"),
    "taken-down": ("subject", "release", "place", "by"),
    "witness": ("head", "minutes"),
}  # fmt: skip
"""Every kind of entry with the keys of its body; all of them must be there."""
MORE = {"release": ("languages",)}
"""Keys that a kind of entry may have besides, and has only where there is something to say."""

POLICY = "policy"
"""The subject of an entry that is about the review policy; every other subject is the id of a procedure."""

_HASH = re.compile(r"[0-9a-f]{64}")
_TIME = "%Y-%m-%dT%H:%M:%SZ"
LARGEST = 1 << 20
"""No entry is larger than this many bytes."""


class EntryProblemError(ValueError):
    """Bytes that are no entry, with the reason in words."""


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One entry. ``body`` is what its kind says in KINDS, as JSON text in canonical form, so that it can't be changed."""

    kind: str
    time: datetime
    parents: tuple[str, ...]
    body_json: str
    signature: str | None = None

    @cached_property
    def body(self) -> dict[str, Json]:
        """The body as a mapping."""
        found: dict[str, Json] = json.loads(self.body_json)
        return found

    @cached_property
    def id(self) -> str:
        """SHA-256 of the canonical form."""
        return digest(self.plain)

    @property
    def plain(self) -> Json:
        """The entry as JSON data."""
        return {
            "stepwell": FORM,
            "kind": self.kind,
            "time": self.time.strftime(_TIME),
            "parents": list(self.parents),
            "body": self.body,
            "signature": self.signature,
        }

    @property
    def signed(self) -> bytes:
        """The bytes that its signature is over."""
        return canonical({"stepwell": FORM, "kind": self.kind, "time": self.time.strftime(_TIME), "body": self.body})

    @property
    def subject(self) -> str:
        """The procedure or ``policy`` that it is about; empty for a witness."""
        return self.text("subject")

    def text(self, key: str) -> str:
        """A text of the body; empty if it is not there."""
        value = self.body.get(key)
        return value if isinstance(value, str) else ""

    def day(self, key: str) -> date | None:
        """A date of the body."""
        value = self.text(key)
        return date.fromisoformat(value) if value else None

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts of the body."""
        value = self.body.get(key)
        return tuple(item for item in value if isinstance(item, str)) if isinstance(value, list) else ()

    def mapping(self, key: str) -> dict[str, Json]:
        """A mapping of the body."""
        value = self.body.get(key)
        return value if isinstance(value, dict) else {}

    @cached_property
    def prints(self) -> tuple[Print, ...]:
        """The languages besides English that a release tells of; none where it has English alone."""
        return prints_of(self.body["languages"]) if "languages" in self.body else ()


def make_entry(
    kind: str, time: datetime, parents: tuple[str, ...], body: dict[str, Json], signature: str | None = None
) -> Entry:
    """A new entry; the time is cut to whole seconds of UTC. Raises EntryProblemError for a body that is not of its kind."""
    moment = time.astimezone(UTC).replace(microsecond=0)
    try:
        text = canonical(body).decode()
    except NotCanonicalError as error:
        raise EntryProblemError(f"the body can't be written down ({error})") from error
    entry = Entry(kind=kind, time=moment, parents=tuple(sorted(parents)), body_json=text, signature=signature)
    _check_body(entry)
    return entry


def written(entry: Entry) -> bytes:
    """The bytes of its file: canonical, with a line end."""
    return canonical(entry.plain) + b"\n"


def read_entry(data: bytes) -> Entry:
    """The entry in a file. Raises EntryProblemError if the bytes are not exactly what ``written`` makes of it."""
    if len(data) > LARGEST:
        raise EntryProblemError("it is too large")
    try:
        plain = json.loads(data.decode(), parse_constant=_refuse, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise EntryProblemError("it is not JSON, or a key stands in it twice") from error
    if not isinstance(plain, dict) or set(plain) != {"stepwell", "kind", "time", "parents", "body", "signature"}:
        raise EntryProblemError("it has not the keys of an entry")
    if plain["stepwell"] != FORM or isinstance(plain["stepwell"], bool):
        raise EntryProblemError("it was written by another version of the tool")
    parents, body, signature = plain["parents"], plain["body"], plain["signature"]
    if not isinstance(parents, list) or any(not isinstance(p, str) or not _HASH.fullmatch(p) for p in parents):
        raise EntryProblemError("its parents are not ids of entries")
    if parents != sorted(set(parents)):
        raise EntryProblemError("its parents are not in order, or one stands twice")
    if not isinstance(body, dict) or not isinstance(plain["kind"], str) or not isinstance(signature, str | None):
        raise EntryProblemError("its body, kind or signature is of the wrong sort")
    entry = Entry(
        kind=plain["kind"],
        time=_time(plain["time"]),
        parents=tuple(parents),
        body_json=json.dumps(body, ensure_ascii=False),
        signature=signature,
    )
    _check_body(entry)
    try:
        if written(entry) != data:
            raise EntryProblemError("it is not in canonical form, so somebody has edited it")
    except NotCanonicalError as error:
        raise EntryProblemError(f"it has no canonical form ({error})") from error
    return entry


def _refuse(word: str) -> object:
    raise ValueError(word)


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a key twice")
    return found


def _time(value: object) -> datetime:
    try:
        return datetime.strptime(str(value), _TIME).replace(tzinfo=UTC)
    except ValueError as error:
        raise EntryProblemError("its time is not written as 2026-11-25T14:03:00Z") from error


def _check_body(entry: Entry) -> None:
    keys = KINDS.get(entry.kind)
    if keys is None:
        raise EntryProblemError(f"there is no kind of entry called {entry.kind!r}")
    if set(entry.body) - set(MORE.get(entry.kind, ())) != set(keys):
        raise EntryProblemError(f"an entry of the kind {entry.kind} has the keys {', '.join(keys)}")
    for key in ("effective", "review", "day"):
        try:
            entry.day(key)
        except ValueError as error:
            raise EntryProblemError(f"{key} is not a date") from error
    for key in keys:
        value = entry.body[key]
        sort: type | tuple[type, ...] = str
        if key == "parts":
            sort = dict
        elif key in ("approvals", "roles"):
            sort = list
        if not isinstance(value, sort):
            raise EntryProblemError(f"{key} is of the wrong sort")
    try:
        _ = entry.prints
    except ValueError as error:
        raise EntryProblemError(f"its languages are {error}") from error
