"""What is known of the unit at this moment, and the thread that keeps it so."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from pathlib import Path
from time import monotonic

from stepwell.authoring.preview.judge import Judged, SupersededError, judge
from stepwell.authoring.preview.saving import Saving
from stepwell.authoring.preview.snapshot import Snapshot, changed, digest_in, procedure_files, snapshot
from stepwell.report.keep import NOTHING_KEPT, Cache
from stepwell.source.workspace import Loaded, load_workspace

PAUSE = 0.12
"""Seconds between two looks at the files; a save is taken up once two looks see the same."""
TRIES = 3
"""So often files that change while they are read are read again; the next look sees what changed after that."""
REMEMBERED = 8
"""So many procedures that were looked at are checked again at a save, the last one first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of one procedure at one moment; the fields are those of the desk."""

    news: int
    loaded: Loaded | None
    judged: Judged | None
    checking: bool
    """True if the last check is older than the last look at the files."""
    done: int | None
    seen: Snapshot
    trouble: str


@dataclass(slots=True, kw_only=True)
class Desk:
    """The unit as it was last read, and the last verdict on each procedure that somebody looks at.

    ``news`` counts up whenever there is something new to show; ``wait`` blocks until then.
    """

    root: Path
    as_of: date
    cache: Cache = NOTHING_KEPT
    loaded: Loaded | None = None
    seen: Snapshot = field(default_factory=dict)
    """The files that ``loaded`` was read from."""
    look: int = 0
    """Counts the looks at the files."""
    read_at: int = 0
    """The look at which ``loaded`` was read."""
    news: int = 0
    judged: dict[str, Judged] = field(default_factory=dict)
    done: dict[str, int] = field(default_factory=dict)
    """Procedure -> the look at which it was last checked, whether it could be or not."""
    trouble: dict[str, str] = field(default_factory=dict)
    """Procedure -> what stopped its last check, if the tool itself failed."""
    wanted: list[str] = field(default_factory=list)
    saving: Saving = field(init=False)
    _poke: threading.Event = field(default_factory=threading.Event)
    _changed: threading.Condition = field(default_factory=threading.Condition)
    _work: threading.Event = field(default_factory=threading.Event)
    _stopped: threading.Event = field(default_factory=threading.Event)
    _threads: list[threading.Thread] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.saving = Saving(self.root, self.saved)

    def start(self) -> None:
        """Read the unit, then keep watching it."""
        self.saving.sweep()
        self.read()
        for work in (self._watch, self._check):
            thread = threading.Thread(target=work, daemon=True)
            thread.start()
            self._threads.append(thread)

    def stop(self) -> None:
        """End the threads."""
        self._stopped.set()
        self._work.set()
        self._poke.set()
        with self._changed:
            self._changed.notify_all()
        for thread in self._threads:
            thread.join(timeout=5)

    @property
    def stopped(self) -> bool:
        """True once the end has been asked for."""
        return self._stopped.is_set()

    def read(self) -> None:
        """Read the files as they are now; a check under way of what they were is dropped."""
        with self._changed:
            self.look += 1
            number = self.look
        loaded, seen = self._read_steadily()
        with self._changed:
            if number == self.look:
                self.loaded, self.seen, self.read_at = loaded, seen, number
        self.tell()
        self._work.set()

    def saved(self) -> None:
        """A save was made here: take it up without waiting whether another follows."""
        self._poke.set()

    def _read_steadily(self) -> tuple[Loaded, Snapshot]:
        """The unit, and the very files that it was read from: read again where one changed meanwhile."""
        seen = snapshot(self.root, self.seen)
        for _ in range(TRIES):
            before = seen
            loaded = load_workspace(self.root)
            seen = snapshot(self.root, before)
            if seen == before:
                break
        return loaded, before

    def want(self, name: str) -> None:
        """Somebody looks at this procedure: it is checked first."""
        with self._changed:
            if self.wanted[:1] == [name] and self.done.get(name) == self.read_at:
                return
            self.wanted = [name, *(one for one in self.wanted if one != name)][:REMEMBERED]
        self._work.set()

    def known(self, name: str) -> Known:
        """All that is known of this procedure, of one moment: a check that ends meanwhile is in all of it or in none."""
        with self._changed:
            done = self.done.get(name)
            return Known(
                news=self.news,
                loaded=self.loaded,
                judged=self.judged.get(name),
                checking=done != self.look,
                done=done,
                seen=self.seen,
                trouble=self.trouble.get(name, ""),
            )

    def tell(self) -> None:
        """There is something new to show."""
        with self._changed:
            self.news += 1
            self._changed.notify_all()

    def wait(self, since: int, seconds: float) -> int:
        """The count of news, once it is beyond ``since`` or the time is over."""
        until = monotonic() + seconds
        with self._changed:
            while self.news <= since and not self.stopped and (left := until - monotonic()) > 0:
                self._changed.wait(left)
            return self.news

    def _watch(self) -> None:
        last = self.seen
        while not self.stopped:
            poked = self._poke.wait(PAUSE)
            self._poke.clear()
            now = snapshot(self.root, last)
            steady = poked or not changed(last, now)
            last = now
            if steady and changed(self.seen, now):
                self.read()

    def _check(self) -> None:
        while not self.stopped:
            self._work.wait()
            self._work.clear()
            while not self.stopped and (name := self._next()) is not None:
                self._judge(name)

    def _newest(self, number: int) -> bool:
        return self.look == number and not self.stopped

    def _next(self) -> str | None:
        with self._changed:
            return next((name for name in self.wanted if self.done.get(name) != self.read_at), None)

    def _judge(self, name: str) -> None:
        with self._changed:
            loaded, number, seen_now = self.loaded, self.read_at, self.seen
        path = procedure_files(self.root).get(name)
        found, trouble = None, ""
        if loaded is not None and path is not None:
            digest = digest_in(seen_now, path)
            try:
                found = judge(loaded, path, digest, number, self.as_of, self.cache, partial(self._newest, number))
            except SupersededError:
                return
            except Exception as error:
                # A fault of the tool: said in the page, and never taken for a verdict.
                trouble = f"{type(error).__name__}: {error}"
        with self._changed:
            self.trouble[name] = trouble
            if found is not None:
                self.judged[name] = found
            self.done[name] = number
        self.tell()
