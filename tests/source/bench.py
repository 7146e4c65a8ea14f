"""The small good workspace of these tests, copied so that a test may break it."""

from __future__ import annotations

import shutil
from pathlib import Path

from stepwell.diagnostics.finding import Finding
from stepwell.source.workspace import Loaded, load_workspace

HERE = Path(__file__).parent
GOOD = HERE / "good"
CATALOGUE = HERE / "catalogue"
"""A built-in catalogue of one rule, so that these tests do not hang on the real one."""
BROKEN = HERE / "broken"
ROOT = HERE.parent.parent

PLACES = {
    "procedures": "procedures/fill-set.yaml",
    "rigs": "rigs/bench.yaml",
    "rules": "rules/clamp-left-open.yaml",
    "units": "unit.yaml",
    "terms": "terms.yaml",
}


def copied(tmp: Path) -> Path:
    """A copy of the good workspace."""
    target = tmp / "unit"
    shutil.copytree(GOOD, target)
    return target


def load(root: Path) -> Loaded:
    """The workspace with the tests' own catalogue."""
    return load_workspace(root, catalogue=CATALOGUE)


def with_file(tmp: Path, kind: str, data: bytes) -> tuple[Path, Loaded]:
    """The good workspace with one file's bytes replaced: its path, and what loading says."""
    root = copied(tmp)
    path = root / PLACES[kind]
    path.write_bytes(data)
    return path, load(root)


def told(findings: tuple[Finding, ...]) -> list[str]:
    """Findings as short lines, for failure messages."""
    return [f"{finding.span} {finding.rule}: {finding.message} -> {finding.mend}" for finding in findings]
