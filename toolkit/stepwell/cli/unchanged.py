"""The report of a check that was made before, of the very same files and by the very same tool.

It is found by everything that a check may depend on: the bytes and the names of *all* files of the unit's folder, whatever
they are for, the day, the files that were named, where the call was made (findings show paths from there), and the salt of
the cache (the tool, its libraries, the interpreter). So nobody has to say which of them the check looks at. Where the
folder holds a link, or more than is quickly read, nothing is found and nothing is kept.
"""

from __future__ import annotations

import json
from datetime import date
from hashlib import sha256
from pathlib import Path
from stat import S_ISDIR, S_ISREG

from stepwell.cli.locate import Where
from stepwell.report.keep import FORMAT, Cache, NoCache, read, written
from stepwell.report.results import CheckReport

MOST_FILES = 2_000
MOST_BYTES = 50_000_000


class Unchanged:
    """One call, before its check and after it."""

    def __init__(self, cache: Cache, where: Where, as_of: date) -> None:
        self.cache, self.where, self.as_of = cache, where, as_of
        self.key = None if isinstance(cache, NoCache) else self._key()

    def report(self) -> CheckReport | None:
        """The report of the same call, if there was one."""
        text = None if self.key is None else self.cache.get(self.key)
        return None if self.key is None or text is None else read(CheckReport, self.key, text)

    def keep(self, report: CheckReport) -> None:
        """Keep what the check said, if nothing was changed in the meantime."""
        whole = all(entry.complete for entry in report.procedures)
        if self.key is not None and whole and self._key() == self.key:
            self.cache.put(self.key, written(self.key, report))

    def _key(self) -> str | None:
        digest, here = digest_of(self.where.root), _here()
        if digest is None or here is None:
            return None
        files = None if self.where.files is None else sorted(map(str, self.where.files))
        call = [
            FORMAT,
            "whole",
            self.cache.salt,
            here,
            str(self.where.root),
            files,
            self.as_of.isoformat(),
            digest,
        ]
        return sha256(json.dumps(call).encode("utf-8", "surrogatepass")).hexdigest()


def _here() -> str | None:
    try:
        return str(Path.cwd())
    except OSError:  # it was deleted
        return None


def digest_of(folder: Path) -> str | None:
    """The digest of all that lies in a folder; None if it can't be read, or is too much.

    Folders on its first level whose name begins with a dot are left out: version control keeps its own there, and nothing
    of a unit lies in them.
    """
    found: list[tuple[str, str]] = []
    todo, size = [folder], 0
    try:
        while todo:
            here = todo.pop()
            found.append((here.relative_to(folder).as_posix(), "folder"))
            for path in here.iterdir():
                about = path.lstat()
                if S_ISDIR(about.st_mode):
                    todo += [] if here is folder and path.name.startswith(".") else [path]
                    continue
                size += about.st_size
                if not S_ISREG(about.st_mode) or size > MOST_BYTES or len(found) >= MOST_FILES:
                    return None
                found.append((path.relative_to(folder).as_posix(), sha256(path.read_bytes()).hexdigest()))
    except OSError:
        return None
    return sha256(json.dumps(sorted(found)).encode("utf-8", "surrogatepass")).hexdigest()
