"""The faults of seeded.yaml, put into copies of the example unit."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

TABLE = Path(__file__).parent / "seeded.yaml"
UNIT = Path(__file__).parent / "unit"
"""The example unit as it was when the table was filed: it has gone on since, and got looks that stop some of the faults."""
HEAVY = ("prime-adult.yaml",)
"""Files whose search takes seconds; their faults are tried with the slow tests."""
LATER = (
    "clamps-and-look-forgotten-before-parting",
    "cap-not-put-on",
    "gas-never-turned-on",
    "hold-asks-less",
    "hold-deleted",
)
"""Faults that are tried with the slow tests, too, since others of their sort are tried every time."""


@dataclass(frozen=True)
class Seed:
    name: str
    file: str
    slip: bool
    first: tuple[tuple[str, str], ...]
    fault: tuple[tuple[str, str], ...]

    @property
    def slow(self) -> bool:
        return self.file in HEAVY or self.name in LATER

    @property
    def procedure(self) -> str:
        return self.file.removesuffix(".yaml")


@cache
def seeds() -> tuple[Seed, ...]:
    """Every fault of the table."""

    def texts(entries: list[dict[str, str]]) -> tuple[tuple[str, str], ...]:
        return tuple((entry["old"], entry["new"]) for entry in entries)

    return tuple(
        Seed(
            name=row["name"],
            file=row["file"],
            slip=row.get("slip", False),
            first=texts(row.get("first", [])),
            fault=texts(row["fault"]),
        )
        for row in yaml.safe_load(TABLE.read_text(encoding="utf-8"))["faults"]
    )


def seed(name: str) -> Seed:
    return next(one for one in seeds() if one.name == name)


def planted(one: Seed, folder: Path, *, fault: bool = True) -> Path:
    """The file in a copy of the unit, with the fault in it or, for comparison, only made ready for it."""
    shutil.copytree(UNIT, folder)
    file = folder / "procedures" / one.file
    text = file.read_text(encoding="utf-8")
    for old, new in (*one.first, *(one.fault if fault else ())):
        assert text.count(old) == 1, f"{one.name}: {old!r} must stand once in the file"
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8", newline="\n")
    return file
