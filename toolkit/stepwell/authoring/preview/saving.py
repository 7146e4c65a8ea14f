"""Edits brought to the file: only onto the version that the page showed, never half, and each can be taken back."""

from __future__ import annotations

import os
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from stepwell.authoring.editing.apply import applied
from stepwell.authoring.editing.edit import Edit, EditError
from stepwell.authoring.editing.history import Entry, change_of, digest, history, made_again, taken_back
from stepwell.authoring.preview.journal import Journal
from stepwell.authoring.preview.snapshot import procedure_files
from stepwell.source.decode import MOST_BYTES
from stepwell.source.write import write_aside

REMEMBERED = 40
"""So many versions are kept in memory, so that a conflict can show what the edit would have made of its own."""
OLD = 600.0
"""Seconds after which a file that was begun and never put into place is cleared away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """The file is now this version."""

    digest: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """The file is not the version that the page showed: nothing was written. ``mine`` is what the edit would have made of
    the page's version (empty if that is not known any more), ``theirs`` what stands in the file."""

    mine: str
    theirs: str
    digest: str


class Saving:
    """Saves of one unit, one at a time."""

    def __init__(self, root: Path, then: Callable[[], None]) -> None:
        self.root = root.resolve()
        self.then = then
        self.journal = Journal(self.root)
        self._lock = threading.Lock()
        self._versions: OrderedDict[str, bytes] = OrderedDict()

    def remember(self, data: bytes) -> str:
        """Keep a version that the page was shown; its hash."""
        name = digest(data)
        self._versions[name] = data
        self._versions.move_to_end(name)
        while len(self._versions) > REMEMBERED:
            self._versions.popitem(last=False)
        return name

    def edit(self, name: str, base: str, edit: Edit, what: str) -> Saved | Conflict:
        """Carry out an edit on the version ``base``. Raises EditError, OSError and KeyError (no such file)."""
        with self._lock:
            path = self._path(name)
            now = path.read_bytes()
            if digest(now) != base:
                return self._conflict(now, base, edit)
            after = applied(now, edit)
            if len(after) > MOST_BYTES:
                raise EditError("The file would become too large.", "Split the procedure.")
            if after == now:
                return Saved(digest=base, what="")
            self.journal.add(name, Entry(kind="do", change=change_of(now, after, what)))
            return self._write(path, base, after, what)

    def undo(self, name: str, base: str) -> Saved | Conflict:
        """Take the last change back. Raises EditError if there is none that fits the file."""
        return self._step(name, base, "undo")

    def redo(self, name: str, base: str) -> Saved | Conflict:
        """Make the last change that was taken back again. Raises EditError if there is none that fits the file."""
        return self._step(name, base, "redo")

    def steps(self, name: str, now: str) -> tuple[str | None, str | None]:
        """What undo and redo would take back or make again in this version; None where there is nothing."""
        found = history(self.journal.entries(name), now)
        undo, redo = found.undo(now), found.redo(now)
        return None if undo is None else undo.what, None if redo is None else redo.what

    def sweep(self) -> None:
        """Clear away what an earlier run began and never put into place."""
        for path in (self.root / "procedures").glob(".*.part"):
            with suppress(OSError):
                if time.time() - path.stat().st_mtime > OLD:
                    path.unlink()

    def _step(self, name: str, base: str, kind: str) -> Saved | Conflict:
        with self._lock:
            path = self._path(name)
            now = path.read_bytes()
            if digest(now) != base:
                return self._conflict(now, base, None)
            found = history(self.journal.entries(name), base)
            change = found.undo(base) if kind == "undo" else found.redo(base)
            after = None if change is None else (taken_back if kind == "undo" else made_again)(now, change)
            if change is None or after is None:
                raise EditError(f"There is nothing to {kind} in the file as it stands.")
            self.journal.add(name, Entry(kind=kind, change=change))
            return self._write(path, base, after, change.what)

    def _write(self, path: Path, base: str, after: bytes, what: str) -> Saved | Conflict:
        # Looked at once more: whoever else saved in between must not be written over.
        now = path.read_bytes()
        if digest(now) != base:
            return Conflict(mine=after.decode("utf-8"), theirs=_text(now), digest=digest(now))
        write_aside(path, after)
        _settle(path.parent)
        self.remember(after)
        self.then()
        return Saved(digest=digest(after), what=what)

    def _conflict(self, now: bytes, base: str, edit: Edit | None) -> Conflict:
        mine = ""
        known = self._versions.get(base)
        if known is not None:
            with suppress(EditError):
                mine = (known if edit is None else applied(known, edit)).decode("utf-8", errors="replace")
        return Conflict(mine=mine, theirs=_text(now), digest=self.remember(now))

    def _path(self, name: str) -> Path:
        path = procedure_files(self.root)[name].resolve()
        if not path.is_relative_to(self.root):
            raise EditError("The file is a link that leads out of the unit's folder.", "Put the file itself there.")
        return path


def _text(data: bytes) -> str:
    return data.decode("utf-8", errors="replace")


def _settle(folder: Path) -> None:
    """Wait until the folder itself is on the disk, where the system can do that."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
