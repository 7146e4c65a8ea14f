"""The corpus of edits: the unit before, the unit after, and what a comparison must find."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from stepwell.model.workspace import Workspace
from stepwell.source.workspace import load_workspace
from tests.compare.edit_text import changed_text

CORPUS = Path(__file__).parent / "corpus"
UNIT = CORPUS / "unit"


@dataclass(frozen=True)
class Case:
    name: str
    file: str
    changes: list[dict[str, Any]]
    ids: str
    edits: tuple[str, ...]


@cache
def cases() -> tuple[Case, ...]:
    found: list[Case] = []
    for path in sorted((CORPUS / "cases").glob("*.yaml")):
        for one in yaml.safe_load(path.read_text(encoding="utf-8")):
            found.append(Case(one["case"], one["in"], one["changes"], one.get("ids", ""), tuple(one["edits"])))
    return tuple(found)


def read(root: Path) -> Workspace:
    """The unit at ``root`` without the built-in rules, which no case touches."""
    nothing = root / "no-catalogue"
    nothing.mkdir(exist_ok=True)
    loaded = load_workspace(root, catalogue=nothing)
    assert loaded.workspace is not None, loaded.findings
    assert not [finding for finding in loaded.findings if finding.unusable], loaded.findings
    assert not loaded.failed
    return loaded.workspace


def write_after(case: Case, root: Path) -> Path:
    """The unit after the case's changes."""
    shutil.copytree(UNIT, root)
    path = root / case.file
    text = changed_text(path.read_text(encoding="utf-8"), case.changes, case.ids)
    if text is None:
        path.unlink()
    else:
        path.write_text(text, encoding="utf-8")
    return root
