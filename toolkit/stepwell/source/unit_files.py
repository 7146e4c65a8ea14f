"""The files of a unit's folder that the loader reads, as texts."""

from __future__ import annotations

from pathlib import Path

from stepwell.source.files import FOLDERS, SUFFIX

TRANSLATIONS = "translations"


def unit_files(root: Path) -> dict[str, str]:
    """The text of each file by its name below ``root``. For a folder that was loaded without a fault."""
    found = [root / "unit.yaml", root / "terms.yaml"]
    for folder in FOLDERS:
        found += sorted((root / folder).glob(f"*{SUFFIX}"))
    found += sorted((root / TRANSLATIONS).glob("*.po"))
    return {path.relative_to(root).as_posix(): path.read_text(encoding="utf-8") for path in found if path.is_file()}


def lay_out(files: dict[str, str], room: Path) -> Path:
    """These files in a folder of their own. Names that lead elsewhere are left out."""
    for name, text in files.items():
        parts = name.split("/")
        if parts[-1] not in ("", "..") and (len(parts) == 1 or (len(parts) == 2 and parts[0] in (*FOLDERS, TRANSLATIONS))):
            path = room / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    return room
