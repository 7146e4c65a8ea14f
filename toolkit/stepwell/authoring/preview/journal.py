"""The journal of edits on disk, in ``.stepwell/`` of the unit: one file per procedure, one line per change.

The folder ignores itself for git. A line is on the disk before the file it speaks of is replaced.
"""

from __future__ import annotations

import os
from pathlib import Path

from stepwell.authoring.editing.history import Entry, entry_of, line_of
from stepwell.source.write import write_aside

FOLDER = ".stepwell"
MOST_BYTES = 4_000_000
"""A journal that is larger is cut to its newest half when it is next read."""


class Journal:
    """The journals of one unit."""

    def __init__(self, root: Path) -> None:
        self.folder = root / FOLDER / "edits"
        self._read: dict[str, tuple[tuple[int, int], list[Entry]]] = {}

    def entries(self, name: str) -> list[Entry]:
        """The entries of a procedure; a line that is not whole, and what follows it, is passed over."""
        path = self._path(name)
        try:
            about = path.stat()
            stamp = (about.st_mtime_ns, about.st_size)
            if name in self._read and self._read[name][0] == stamp:
                return self._read[name][1]
            lines = path.read_text(encoding="utf-8", errors="replace").splitlines(keepends=True)
        except OSError:
            return []
        if about.st_size > MOST_BYTES:
            lines = lines[len(lines) // 2 :]
            write_aside(path, "".join(lines).encode())
        found = [entry for line in lines if (entry := entry_of(line)) is not None]
        self._read[name] = (stamp, found)
        return found

    def add(self, name: str, entry: Entry) -> None:
        """Write an entry and wait until it is on the disk. Raises OSError."""
        path = self._path(name)
        if not path.parent.is_dir():
            path.parent.mkdir(parents=True, exist_ok=True)
        ignore = self.folder.parent / ".gitignore"
        if not ignore.exists():
            write_aside(ignore, b"*\n")
        known = list(self.entries(name))
        line = line_of(entry).encode()
        with path.open("ab") as stream:
            if stream.tell() and not _ends_whole(path):
                line = b"\n" + line
            stream.write(line)
            stream.flush()
            os.fsync(stream.fileno())
        about = path.stat()
        self._read[name] = ((about.st_mtime_ns, about.st_size), [*known, entry])

    def _path(self, name: str) -> Path:
        return self.folder / f"{name}.jsonl"


def _ends_whole(path: Path) -> bool:
    with path.open("rb") as stream:
        stream.seek(-1, os.SEEK_END)
        return stream.read(1) == b"\n"
