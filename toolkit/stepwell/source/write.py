"""Writing without half-written results: built aside, then moved into place."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path


def write_aside(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` so that a reader sees the old file or the new one, never a part of it.

    Missing folders are made. Raises OSError if it can't be written; the old file is then as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        aside.chmod(0o644)
        aside.replace(path)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise


def replace_dir(path: Path, build: Callable[[Path], None]) -> None:
    """Let ``build`` fill an empty folder beside ``path``, then put it in the place of ``path``.

    If ``build`` raises, ``path`` is as it was. Refuses (ValueError) to replace a file, a link, or a root of a file system.
    """
    if path.is_symlink() or (path.exists() and not path.is_dir()):
        raise ValueError(f"{path} is not a folder, so it is not replaced")
    if path.resolve().parent == path.resolve():
        raise ValueError(f"{path} is the root of a file system")
    path.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent))
    old: Path | None = None
    try:
        build(aside)
        aside.chmod(0o755)
        if path.exists():
            old = Path(tempfile.mkdtemp(prefix=f".{path.name}.", suffix=".old", dir=path.parent))
            path.replace(old / path.name)
        try:
            aside.replace(path)
        except OSError:
            if old is not None:
                (old / path.name).replace(path)
            raise
    finally:
        shutil.rmtree(aside, ignore_errors=True)
        if old is not None:
            shutil.rmtree(old, ignore_errors=True)
