"""What was done to a file, so that it can be undone: each change as the one stretch that differs, tied to the hashes of
the file before and after it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from hashlib import sha256

from stepwell.authoring.editing.splice import difference


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """At character ``at``, ``old`` became ``new``. ``before`` and ``after`` are the hashes of the whole file."""

    before: str
    after: str
    at: int
    old: str
    new: str
    what: str = ""
    """What it was, for the page: such as ``moved step k7f3``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A line of the journal: a change was made (``do``), taken back (``undo``), or made again (``redo``)."""

    kind: str
    change: Change


def digest(data: bytes) -> str:
    """The hash by which a version of a file is known."""
    return sha256(data).hexdigest()


def change_of(before: bytes, after: bytes, what: str = "") -> Change:
    """The change from one version to the next, both UTF-8."""
    old, new = before.decode("utf-8"), after.decode("utf-8")
    piece = difference(old, new)
    return Change(
        before=digest(before),
        after=digest(after),
        at=piece.start,
        old=old[piece.start : piece.end],
        new=piece.text,
        what=what,
    )


def taken_back(data: bytes, change: Change) -> bytes | None:
    """The bytes before the change; None if the file is not what the change left."""
    if digest(data) != change.after:
        return None
    return _checked(data, change.at, change.new, change.old, change.before)


def made_again(data: bytes, change: Change) -> bytes | None:
    """The bytes after the change; None if the file is not what the change began with."""
    if digest(data) != change.before:
        return None
    return _checked(data, change.at, change.old, change.new, change.after)


def _checked(data: bytes, at: int, was: str, becomes: str, wanted: str) -> bytes | None:
    text = data.decode("utf-8")
    if text[at : at + len(was)] != was:
        return None
    found = (text[:at] + becomes + text[at + len(was) :]).encode("utf-8")
    return found if digest(found) == wanted else None


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """The changes that can be taken back, and those that can be made again, the next one last."""

    done: tuple[Change, ...] = ()
    undone: tuple[Change, ...] = ()

    def undo(self, now: str) -> Change | None:
        """The change to take back from the version ``now``; None if there is none that fits it."""
        return self.done[-1] if self.done and self.done[-1].after == now else None

    def redo(self, now: str) -> Change | None:
        """The change to make again on the version ``now``; None if there is none that fits it."""
        return self.undone[-1] if self.undone and self.undone[-1].before == now else None


def history(entries: Iterable[Entry], now: str) -> History:
    """What the journal comes to for a file whose hash is ``now``."""
    done: list[Change] = []
    undone: list[Change] = []
    for entry in entries:
        change = entry.change
        _settle(done, undone, change.after if entry.kind == "undo" else change.before)
        if entry.kind == "do":
            done.append(change)
            undone.clear()
        elif entry.kind == "undo" and done and done[-1] == change:
            undone.append(done.pop())
        elif entry.kind == "redo" and undone and undone[-1] == change:
            done.append(undone.pop())
    _settle(done, undone, now)
    return History(done=tuple(done), undone=tuple(undone))


def _settle(done: list[Change], undone: list[Change], now: str) -> None:
    """The last entry may have been written and then not carried out, because the tool was killed between the two: the
    version that is there shows it, and the change stands on the other side."""
    if done and done[-1].after == now:
        return
    if done and done[-1].before == now:
        undone.append(done.pop())
    elif undone and undone[-1].before != now and undone[-1].after == now:
        done.append(undone.pop())


def line_of(entry: Entry) -> str:
    """An entry as a line of the journal, with a sum that shows whether it is whole."""
    body = json.dumps({"kind": entry.kind, **asdict(entry.change)}, ensure_ascii=True, sort_keys=True)
    return f"{digest(body.encode())[:16]} {body}\n"


def entry_of(line: str) -> Entry | None:
    """The entry of a line; None if the line is not whole."""
    total, _, body = line.rstrip("\n").partition(" ")
    if not line.endswith("\n") or digest(body.encode())[:16] != total:
        return None
    try:
        found = json.loads(body)
        return Entry(kind=found.pop("kind"), change=Change(**found))
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
