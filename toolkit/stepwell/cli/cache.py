"""The folder in which reports are kept between calls.

``--cache DIR`` or STEPWELL_CACHE names it; otherwise it is the user's own folder for such things. Nothing depends on it:
what can't be read or written is worked out again.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from contextlib import suppress
from functools import cached_property
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

import stepwell
from stepwell.report.keep import Cache, NoCache

VARIABLE = "STEPWELL_CACHE"
OFF = "off"
MOST = 2000
"""So many entries are kept; the oldest are let go."""
LARGEST = 50_000_000
"""Bytes of the largest entry that is read."""
_CODE = {".py", ".yaml", ".json", ".po"}
_LIBRARIES = ("yaml", "polib")
"""What reads a unit's files besides the tool itself; their first modules say their versions."""


def cache_of(named: str | None, off: bool, environment: Mapping[str, str]) -> Cache:
    """The cache of a call: ``named`` is the folder of ``--cache``, ``off`` is ``--no-cache``."""
    wanted = named or environment.get(VARIABLE) or ""
    if off or (not named and wanted == OFF):
        return NoCache()
    return Folder(Path(wanted) if wanted else _own(environment))


def _own(environment: Mapping[str, str]) -> Path:
    if sys.platform == "win32":
        base = Path(environment.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(environment.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    return base / "stepwell" / "reports"


class Folder:
    """One file per entry, named by its key. An entry that is not the user's own file is not read."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    @cached_property
    def salt(self) -> str:
        """Version and source of the tool, of what reads files for it, and the interpreter: any change is another tool."""
        package = Path(stepwell.__file__).parent
        total = sha256(f"{stepwell.__version__} {sys.version}".encode())
        for file in sorted(each for each in package.rglob("*") if each.suffix in _CODE):
            total.update(f"{file.relative_to(package).as_posix()}\0".encode())
            total.update(sha256(file.read_bytes()).digest())
        for name in _LIBRARIES:
            spec = find_spec(name)
            if spec is not None and spec.origin is not None:
                with suppress(OSError):
                    total.update(sha256(Path(spec.origin).read_bytes()).digest())
        return total.hexdigest()

    def get(self, key: str) -> str | None:
        """The text of this key, or None."""
        file = self.folder / f"{key}.json"
        try:
            about = file.lstat()
            own = not hasattr(os, "getuid") or (about.st_uid == os.getuid() and not about.st_mode & 0o022)
            if not own or file.is_symlink() or about.st_size > LARGEST:
                return None
            return file.read_text(encoding="utf-8")
        except (OSError, ValueError):
            return None

    def put(self, key: str, text: str) -> None:
        """Keep a text: written aside and moved into place, so that nobody ever reads half of it."""
        import tempfile  # not needed where everything is found

        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            handle, aside = tempfile.mkstemp(dir=self.folder, prefix=".new-")
            try:
                with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                    file.write(text)
                Path(aside).replace(self.folder / f"{key}.json")
            except OSError:
                Path(aside).unlink(missing_ok=True)
                raise
            self._let_go()

    def _let_go(self) -> None:
        entries = list(self.folder.glob("*.json"))
        if len(entries) > MOST:
            entries.sort(key=lambda entry: entry.stat().st_mtime)
            for entry in entries[:-MOST]:
                entry.unlink(missing_ok=True)
