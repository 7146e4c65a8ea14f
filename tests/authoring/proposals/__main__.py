"""Print precision and recall of the proposals: ``python -m tests.authoring.proposals [-v]``."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from stepwell.authoring.proposals import propose
from stepwell.model.rig import Rig
from stepwell.source.workspace import load_workspace

HERE = Path(__file__).parent
PROTOCOLS = HERE.parent.parent.parent / "protocols"
Acts = tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line and what it means; no actions if nothing is to be proposed."""

    rig: str
    say: str
    wanted: Acts


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """``precision`` is the share of the proposals that are wholly right, ``recall`` that of the actions that are found."""

    lines: int
    meant: int
    proposed: int
    right: int
    wrong: tuple[str, ...]
    missed: tuple[str, ...]

    @property
    def precision(self) -> float:
        """Right proposals of all proposals."""
        return self.right / self.proposed if self.proposed else 1.0

    @property
    def recall(self) -> float:
        """Right proposals of all lines that mean an action."""
        return self.right / self.meant


def lines(name: str = "sentences") -> tuple[Line, ...]:
    """The labelled lines of a file beside this one."""
    groups: list[dict[str, Any]] = yaml.safe_load((HERE / f"{name}.yaml").read_text(encoding="utf-8"))
    return tuple(
        Line(rig=group["rig"], say=row["say"], wanted=_acts(row["do"])) for group in groups for row in group["lines"]
    )


def _acts(value: Any) -> Acts:
    if value == "none":
        return ()
    return tuple((verb, tuple(parts) if isinstance(parts, list) else (parts,)) for verb, parts in value)


@cache
def rigs() -> dict[str, Rig]:
    """The rigs of the invented unit."""
    workspace = load_workspace(PROTOCOLS).workspace
    assert workspace is not None
    return {rig.id: rig for rig in workspace.rigs}


def measure(found: tuple[Line, ...]) -> Result:
    """Propose for every line and compare verb and parts, in any order."""
    proposed = right = 0
    wrong: list[str] = []
    missed: list[str] = []
    for line in found:
        made = propose(line.say, rigs()[line.rig])
        acts = () if made is None else tuple((one.verb, one.parts) for one in made.actions)
        if made is not None:
            proposed += 1
        if acts and _plain(acts) == _plain(line.wanted):
            right += 1
        elif acts:
            wrong.append(f"{line.say} -> {made.do() if made else ''}")
        elif line.wanted:
            missed.append(line.say)
    meant = sum(bool(line.wanted) for line in found)
    return Result(lines=len(found), meant=meant, proposed=proposed, right=right, wrong=tuple(wrong), missed=tuple(missed))


def _plain(acts: Acts) -> list[tuple[str, tuple[str, ...]]]:
    """In any order; a joint is the same from both of its sides."""
    return sorted((verb, tuple(sorted(parts)) if verb in ("join", "part") else parts) for verb, parts in acts)


def main(words: list[str]) -> None:
    """Print the figures of both files; with ``-v`` every proposal that is wrong and every line that was passed over."""
    for name in ("sentences", "kept_back"):
        found = measure(lines(name))
        if "-v" in words and (name == "sentences" or "kept_back" in words):
            print("\n".join((*(f"WRONG  {one}" for one in found.wrong), *(f"MISSED {one}" for one in found.missed))))
        print(f"{name}: {found.lines} lines, {found.meant} of them mean an action")
        print(f"  {found.proposed} proposals, {found.right} wholly right")
        print(f"  precision {100 * found.precision:.1f} %, recall {100 * found.recall:.1f} %")


if __name__ == "__main__":
    main(sys.argv[1:])
