"""Finding and opening the files of a workspace, without ever leaving it."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from stepwell.source import faults
from stepwell.source.decode import MOST_BYTES
from stepwell.source.near import quote
from stepwell.source.nodes import Mapping, Node, Scalar
from stepwell.source.notes import Notes
from stepwell.source.parse import parse

FOLDERS: dict[str, str] = {"procedures": "procedure", "rigs": "rig", "rules": "rule"}
"""Folder -> what its files are."""
SUFFIX = ".yaml"
_ODD_SUFFIXES = (".yml", ".yaml.txt", ".yml.txt")


@dataclass(slots=True)
class SourceFile:
    """One file: what it is, its tree (None if there is none), and its notes."""

    path: Path
    kind: str
    root: Node | None
    notes: Notes

    def name(self) -> str | None:
        """The id it gives itself, even if the rest is broken."""
        entry = self.root.get(self.kind) if isinstance(self.root, Mapping) else None
        if entry is not None and isinstance(entry.value, Scalar) and isinstance(entry.value.value, str):
            return entry.value.text
        return None


def shown(path: Path) -> str:
    """The path as the user would type it: relative to the folder the tool was started in where that is shorter."""
    try:
        relative = Path(os.path.relpath(path))
    except ValueError:  # another drive
        return path.as_posix()
    return path.as_posix() if relative.parts[:1] == ("..",) else relative.as_posix()


def load_file(path: Path, kind: str, root: Path) -> SourceFile:
    """Open and parse one file of the workspace at ``root`` (already resolved)."""
    notes = Notes(shown(path))
    data = read_bytes(path, root, notes)
    return SourceFile(path, kind, None if data is None else parse(data, notes), notes)


def read_bytes(path: Path, root: Path, notes: Notes) -> bytes | None:
    """The bytes of a file of the workspace at ``root`` (already resolved), or None with a note."""
    try:
        real = path.resolve()
        if not real.is_relative_to(root):
            notes.add(
                faults.LEAVES_WORKSPACE,
                notes.top(),
                f"{quote(path.name)} is a link that leads out of the unit's folder.",
                "Put the file itself there; what is approved must not change from elsewhere.",
            )
            return None
        if not real.is_file():
            notes.add(
                faults.UNREADABLE_FILE, notes.top(), f"{quote(path.name)} is not an ordinary file.", "Move it elsewhere."
            )
            return None
        with real.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except (OSError, ValueError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or "it can't be opened"
        notes.add(
            faults.UNREADABLE_FILE,
            notes.top(),
            f"{quote(path.name)} could not be read: {reason}.",
            "Look whether the file is there and whether you may read it.",
        )
        return None


def files_of(folder: Path, kind: str, root: Path) -> tuple[list[SourceFile], list[Notes]]:
    """Every YAML file of a folder in order of name, and notes on files that would otherwise be passed over in silence."""
    found: list[SourceFile] = []
    odd: list[Notes] = []
    for path in _entries(folder):
        name = path.name.lower()
        if name.startswith((".", "~")) or name.endswith("~"):
            continue
        if name.endswith(SUFFIX):
            found.append(load_file(path, kind, root))
        elif name.endswith(_ODD_SUFFIXES):
            odd.append(
                _passed_over(path, f"Only files that end in {quote(SUFFIX)} are read.", f"Rename it to end in `{SUFFIX}`.")
            )
        elif (
            path.is_dir() and not path.is_symlink() and any(inner.name.lower().endswith(SUFFIX) for inner in _entries(path))
        ):
            mend = f"Move its files up into {quote(folder.name)}."
            odd.append(_passed_over(path, "Folders inside this folder are not read.", mend))
    return found, odd


def _entries(folder: Path) -> list[Path]:
    try:
        return sorted(folder.iterdir(), key=lambda path: path.name)
    except OSError:
        return []


def _passed_over(path: Path, why: str, mend: str) -> Notes:
    notes = Notes(shown(path))
    notes.add(faults.WRONG_FOLDER, notes.top(), f"{quote(path.name)} would not be read. {why}", mend)
    return notes


_TELLTALES = (
    ("waiver", "rule"),
    ("procedure", "procedure"),
    ("rule", "rule"),
    ("rig", "rig"),
    ("unit", "unit"),
    ("synonyms", "terms"),
)
_HOMES = {"procedure": "the folder `procedures`", "rule": "the folder `rules`", "rig": "the folder `rigs`"}


def belongs(file: SourceFile) -> bool:
    """True if the file is what its folder is for, or can't be told; noted if it is plainly something else."""
    if not isinstance(file.root, Mapping) or file.kind in file.root.entries:
        return True
    is_a = next((kind for key, kind in _TELLTALES if key in file.root.entries), None)
    if is_a is None or is_a == file.kind:
        return True
    home = _HOMES.get(is_a, f"the unit's folder as {is_a}.yaml")
    key = next(key for key, kind in _TELLTALES if kind == is_a)
    file.notes.add(
        faults.WRONG_FOLDER,
        file.root.entries[key].key_span,
        f"This file is a {is_a}, but it lies among the {file.kind}s.",
        f"Move it into {home}; a {file.kind} begins with `{file.kind}:`.",
    )
    return False
