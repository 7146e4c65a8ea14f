"""The bank of mistakes: each is a good file of the unit with one thing written otherwise, and what a colleague would say."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
UNIT = HERE / "unit"
JARGON = ("mapping", "scalar", "token", "parse", "boolean", "integer", "null", "regex", "sequence", "dict", "array")
"""Words of programmers: an answer that needs one of them is not in the author's words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """``lines`` are those that a colleague would point to, ``mend`` the words that she would say."""

    name: str
    file: str
    text: str
    lines: tuple[int, ...]
    mend: tuple[tuple[str, ...], ...]
    schema: bool

    def lay_out(self, folder: Path) -> Path:
        """The unit with this mistake in it; the file that has it."""
        root = folder / self.name
        shutil.copytree(UNIT, root)
        path = root / self.file
        path.write_text(self.text, encoding="utf-8", newline="\n")
        return path

    def said(self, mend: str) -> bool:
        """True if the words of the mend are those that are wanted."""
        low = mend.lower()
        return all(any(word.lower() in low for word in words) for words in self.mend)


def mistakes(name: str = "bank") -> tuple[Mistake, ...]:
    """All of a file beside this one, in its order."""
    rows: list[dict[str, Any]] = yaml.safe_load((HERE / f"{name}.yaml").read_text(encoding="utf-8"))
    return tuple(_mistake(row) for row in rows)


def _mistake(row: dict[str, Any]) -> Mistake:
    good = (UNIT / row["file"]).read_text(encoding="utf-8")
    old, new = row["put"]
    if good.count(old) != 1:
        raise ValueError(f"{row['name']}: {old!r} stands in {row['file']} {good.count(old)} times")
    text = good.replace(old, new)
    at = row["at"] if isinstance(row["at"], list) else [row["at"]]
    return Mistake(
        name=row["name"],
        file=row["file"],
        text=text,
        lines=tuple(_line(row, text, words, row.get("nth", 1)) for words in at),
        mend=tuple(tuple(entry.split("|")) for entry in row["mend"]),
        schema=row["schema"],
    )


def _line(row: dict[str, Any], text: str, words: str, nth: int) -> int:
    found = [number for number, line in enumerate(text.split("\n"), 1) if line.strip().startswith(words)]
    if len(found) < nth or (len(found) > 1 and "nth" not in row):
        raise ValueError(f"{row['name']}: {words!r} begins {len(found)} lines")
    return found[nth - 1]
