"""What the files of a unit's folder hold at a moment, so that a save is seen whoever made it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from stepwell.authoring.editing.history import digest
from stepwell.source.decode import MOST_BYTES
from stepwell.source.files import FOLDERS, SUFFIX

YOUNG = 2.0
"""Seconds within which a file may be written again without a new time stamp, so its bytes are looked at each time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """Time stamp and size of a file, and the hash of its bytes."""

    stamp: tuple[int, int]
    digest: str


Snapshot = dict[Path, Seen]


def snapshot(root: Path, before: Snapshot) -> Snapshot:
    """The files now. What has not been touched since ``before`` is not read again."""
    found: Snapshot = {}
    for path in files_of_unit(root):
        try:
            about = path.stat()
            stamp = (about.st_mtime_ns, about.st_size)
            known = before.get(path)
            settled = time.time() - about.st_mtime > YOUNG
            if known is not None and known.stamp == stamp and settled:
                found[path] = known
            elif about.st_size > MOST_BYTES:
                found[path] = Seen(stamp=stamp, digest=f"too large: {stamp}")
            else:
                found[path] = Seen(stamp=stamp, digest=digest(path.read_bytes()))
        except OSError:
            # It is being replaced at this very moment; the next look will see it.
            known = before.get(path)
            if known is not None:
                found[path] = known
    return found


def changed(before: Snapshot, after: Snapshot) -> bool:
    """True if any file came, went, or holds other bytes."""
    return {path: seen.digest for path, seen in before.items()} != {path: seen.digest for path, seen in after.items()}


def digest_in(seen: Snapshot, path: Path) -> str:
    """The hash of a file in a snapshot; empty if it is not there."""
    found = seen.get(path)
    return "" if found is None else found.digest


def files_of_unit(root: Path) -> Iterator[Path]:
    """The files that a check reads."""
    for name in ("unit.yaml", "terms.yaml"):
        if (root / name).is_file():
            yield root / name
    for folder in FOLDERS:
        try:
            entries = sorted((root / folder).iterdir())
        except OSError:
            continue
        yield from (entry for entry in entries if entry.name.lower().endswith(SUFFIX) and entry.is_file())


def procedure_files(root: Path) -> dict[str, Path]:
    """The procedures' files by the name without its ending."""
    return {
        path.name[: -len(SUFFIX)]: path
        for path in files_of_unit(root)
        if path.parent.name == "procedures" and not path.name.startswith((".", "~"))
    }
