"""One look at the unit: its files read, and the procedures of one file checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from time import monotonic

from stepwell.diagnostics.finding import Finding
from stepwell.model.procedure import Procedure
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.report.check import Options, check_workspace
from stepwell.report.keep import Cache
from stepwell.report.results import ProcedureReport
from stepwell.source.workspace import Loaded


class SupersededError(Exception):
    """Raised inside a check whose text is no longer the newest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """The procedures of one file, checked: one report for each set it is written for. ``number``: which look it was."""

    number: int
    digest: str
    workspace: Workspace
    procedures: tuple[Procedure, ...]
    reports: tuple[ProcedureReport, ...]
    seconds: float

    def rig(self, at: int = 0) -> Rig | None:
        """The set of one of the procedures."""
        return next((rig for rig in self.workspace.rigs if rig.id == self.procedures[at].rig), None)


def procedures_in(workspace: Workspace, path: Path) -> tuple[Procedure, ...]:
    """The procedures that a file holds; none if it could not be used."""
    return tuple(one for one in workspace.procedures if Path(one.path).resolve() == path)


def judge(
    loaded: Loaded, path: Path, digest: str, number: int, as_of: date, cache: Cache, current: Callable[[], bool]
) -> Judged | None:
    """Search every permitted order of the procedures in ``path``; None if the file could not be used.

    What would break a rule that holds is not looked for: it takes longer than a person waits. ``current`` says
    whether anybody still wants to know; once not, SupersededError is raised.
    """
    workspace = loaded.workspace
    found = () if workspace is None else procedures_in(workspace, path)
    if workspace is None or not found:
        return None

    def clock() -> float:
        if not current():
            raise SupersededError
        return monotonic()

    began = monotonic()
    names = frozenset(one.id for one in found)
    report = check_workspace(
        workspace, as_of=as_of, clock=clock, procedures=names, options=Options(bites=False), cache=cache
    )
    return Judged(
        number=number,
        digest=digest,
        workspace=workspace,
        procedures=found,
        reports=report.procedures,
        seconds=monotonic() - began,
    )


def findings_of_input(loaded: Loaded, path: Path, root: Path) -> tuple[Finding, ...]:
    """What is wrong with the file itself, or with what every procedure stands on."""
    procedures = root / "procedures"
    kept = []
    for finding in loaded.findings:
        file = None if finding.span is None else Path(finding.span.path).resolve()
        shared = file is None or not file.is_relative_to(procedures)
        if file == path or (shared and finding.unusable):
            kept.append(finding)
    return tuple(kept)
