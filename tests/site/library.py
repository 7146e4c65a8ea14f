"""The library in ``protocols/`` as a site, without the search of its orders: enough to look for its cards."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

from stepwell.model.workspace import Workspace
from stepwell.report.results import CheckReport
from stepwell.source.workspace import load_workspace

ROOT = Path(__file__).resolve().parents[2]
AS_OF = date(2026, 11, 24)


@cache
def library() -> Workspace:
    """The unit's workspace; an assertion fails if it can't be read."""
    loaded = load_workspace(ROOT / "protocols")
    assert loaded.workspace is not None
    return loaded.workspace


def unchecked() -> CheckReport:
    """A report in which nothing was checked."""
    return CheckReport(as_of=AS_OF, procedures=(), findings=())


def queries(name: str = "queries.md") -> tuple[tuple[str, tuple[str, ...], str], ...]:
    """Every line of ``queries.md``, or of that in another language: what is asked, the pages any of which will do, the
    sort."""
    rows = []
    for line in (Path(__file__).parent / name).read_text(encoding="utf-8").splitlines():
        if not line.startswith("| ") or line.startswith("| asked"):
            continue
        cells = [cell.replace("\0", "|").strip() for cell in line.replace("\\|", "\0").strip("| ").split("|")]
        rows.append((cells[0], tuple(one.strip() for one in cells[1].split("|")), cells[2]))
    return tuple(rows)
