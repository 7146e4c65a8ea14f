"""From the paths on the command line to one unit's folder and, where files were named, to those files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from stepwell.cli.failure import UsageProblem

UNIT_FILE = "unit.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """``root`` is the unit's folder; ``files`` those that were asked for, None for the whole unit."""

    root: Path
    files: frozenset[Path] | None = None


def locate(paths: Sequence[str]) -> Where:
    """The one unit that all ``paths`` lie in. Raises UsageProblem if there is none, or more than one."""
    found = [_one(Path(path)) for path in paths or ["."]]
    roots = {where.root for where in found}
    if len(roots) > 1:
        names = " and ".join(sorted(_shown(root) for root in roots))
        raise UsageProblem(f"These paths belong to different units: {names}.", "Check one unit at a time.")
    if any(where.files is None for where in found):
        return Where(root=found[0].root)
    return Where(root=found[0].root, files=frozenset(file for where in found for file in where.files or ()))


def locate_unit(path: str) -> Path:
    """The unit's folder at ``path`` itself. Raises UsageProblem if it is not one."""
    where = locate([path])
    if where.files is not None:
        raise UsageProblem(f"{path} is only a part of a unit's folder.", f"Name the folder itself: {_shown(where.root)}")
    return where.root


def _shown(path: Path) -> str:
    from stepwell.source.files import shown  # heavy, and only needed where something is wrong

    return shown(path)


def _one(path: Path) -> Where:
    if not path.exists():
        raise UsageProblem(f"There is no file or folder {path}.", "Look at the spelling, and where you are.")
    real = path.resolve()
    root = next((place for place in (real, *real.parents) if (place / UNIT_FILE).is_file()), None)
    if root is None:
        raise UsageProblem(f"{_shown(real)} is not a unit's folder and lies in none: no {UNIT_FILE}.", _hint(real))
    if real in (root, root / UNIT_FILE):
        return Where(root=root)
    if real.is_dir():
        files = frozenset(file for file in real.rglob("*.yaml") if file.is_file())
        if not files:
            raise UsageProblem(f"There is no file of the unit in {_shown(real)}.", f"The unit is {_shown(root)}.")
        return Where(root=root, files=files)
    return Where(root=root, files=frozenset({real}))


def _hint(place: Path) -> str:
    folder = place if place.is_dir() else place.parent
    below = sorted(entry.name for entry in folder.iterdir() if (entry / UNIT_FILE).is_file())
    if below:
        return f"There is one in it: {_shown(folder / below[0])}"
    return f"Name the folder in which {UNIT_FILE} lies."
