"""Reports that are kept, and found again by everything that they depend on.

The key of a report is the SHA-256 of the canonical form of the procedure, those that it starts from, its rig, the rules,
the unit with its numbers, the options, the day, and the salt of the cache (version and source of the tool). The check is
given just that part of the workspace, so that it can't depend on anything else. A report is taken only if it names its
key, its digest fits, and it can be read back as a report; anything else is as if it were not there.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields, replace
from hashlib import sha256
from typing import TYPE_CHECKING, Protocol, TypeVar

from stepwell.report.plain import plain, restored

if TYPE_CHECKING:
    from stepwell.model.procedure import Procedure
    from stepwell.model.workspace import Workspace

T = TypeVar("T")

FORMAT = "stepwell report 1"


class Cache(Protocol):
    """Where texts are kept. ``salt``: what the tool is; reports of another one are never found."""

    @property
    def salt(self) -> str: ...

    def get(self, key: str) -> str | None:
        """The text of this key, or None."""

    def put(self, key: str, text: str) -> None:
        """Keep a text; what can't be kept is let go."""


class NoCache:
    """Keeps nothing."""

    salt = ""

    def get(self, key: str) -> str | None:
        """Nothing."""
        return None

    def put(self, key: str, text: str) -> None:
        """Let it go."""


NOTHING_KEPT = NoCache()


def narrowed(workspace: Workspace, procedure: Procedure) -> Workspace:
    """The part of the workspace that the check of this procedure may look at."""
    chain = [procedure]
    while chain[-1].starts is not None and chain[-1].starts.procedure is not None:
        name = chain[-1].starts.procedure
        before = next((one for one in workspace.procedures if one.id == name), None)
        if before is None or before in chain:
            break
        chain.append(before)
    rigs = tuple(rig for rig in workspace.rigs if rig.id in {one.rig for one in chain})
    return replace(workspace, procedures=tuple(chain), rigs=rigs)


class Keeper:
    """Keys and entries of one workspace. ``seen`` is what every report of it depends on besides its own procedure."""

    def __init__(self, cache: Cache, *seen: object) -> None:
        self.cache = cache
        self.seen = _digest(seen)
        self._digests: dict[int, tuple[object, str]] = {}

    def key(self, kind: str, part: Workspace) -> str:
        """The key of a report of this kind on the first procedure of a narrowed workspace."""
        parts = [self._once(getattr(part, spec.name)) for spec in fields(part) if spec.name not in ("procedures", "rigs")]
        parts += [self._once(one) for one in (*part.procedures, *part.rigs)]
        return _digest((FORMAT, self.cache.salt, kind, self.seen, tuple(parts)))

    def recall(self, report: type[T], kind: str, part: Workspace, make: Callable[[], tuple[T, bool]]) -> T:
        """The report that is kept, or else the one that ``make`` makes; it says whether that is worth keeping."""
        try:
            key = self.key(kind, part)
        except TypeError:
            return make()[0]
        text = self.cache.get(key)
        found = None if text is None else read(report, key, text)
        if found is None:
            found, worth = make()
            if worth:
                self.cache.put(key, written(key, found))
        return found

    def _once(self, value: object) -> str:
        """The digest of a value that many reports share."""
        known = self._digests.get(id(value))
        if known is None:
            # The value is held, so that its id stays its own.
            known = self._digests[id(value)] = value, _digest(value)
        return known[1]


def written(key: str, report: object) -> str:
    """An entry's text."""
    body = _canonical(report)
    return json.dumps({"format": FORMAT, "key": key, "sha256": sha256(body.encode()).hexdigest(), "report": body})


def read(kind: type[T], key: str, text: str) -> T | None:
    """The report in an entry's text; None if it is damaged, of another key, or not such a report."""
    try:
        entry = json.loads(text)
        if not isinstance(entry, dict) or entry.get("format") != FORMAT or entry.get("key") != key:
            return None
        body = entry["report"]
        if sha256(body.encode()).hexdigest() != entry["sha256"]:
            return None
        return restored(kind, json.loads(body))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _canonical(value: object) -> str:
    return json.dumps(plain(value), ensure_ascii=False, separators=(",", ":"))


def _digest(value: object) -> str:
    return sha256(_canonical(value).encode("utf-8", "surrogatepass")).hexdigest()
