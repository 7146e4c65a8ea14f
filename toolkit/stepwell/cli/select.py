"""Which procedures a call is about, and which findings belong to it, when files were named."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import UNIT_FILE, Where
from stepwell.diagnostics.finding import Finding
from stepwell.model.workspace import Workspace
from stepwell.source.files import FOLDERS, SUFFIX, shown
from stepwell.source.workspace import Loaded


def chosen_procedures(where: Where, loaded: Loaded) -> tuple[str, ...] | None:
    """Ids of the procedures to check; None for all of them.

    A procedure's file names that procedure, a rig's file those on the rig; a rule's file, ``unit.yaml``
    and ``terms.yaml`` concern all. Raises UsageProblem for a file that is none of these: passing it over
    would look like a clean check.
    """
    workspace = loaded.workspace
    if where.files is None or workspace is None:
        return None
    chosen: set[str] = set()
    for file in sorted(where.files):
        reached = _reached(file, where.root, workspace)
        if reached is None:
            if not _read(file, where.root):
                raise UsageProblem(
                    f"{shown(file)} is not read as a part of the unit.",
                    "Procedures lie in procedures/, rigs in rigs/, rules in rules/, each in a file that ends in .yaml.",
                )
        else:
            chosen.update(reached)
    return tuple(procedure.id for procedure in workspace.procedures if procedure.id in chosen)


def _read(file: Path, root: Path) -> bool:
    """True if the loader opens ``file``, so that it has said what is wrong with it or with what it stands on."""
    return file.suffix == SUFFIX and file.parent in {root / folder for folder in FOLDERS}


def _reached(file: Path, root: Path, workspace: Workspace) -> Iterable[str] | None:
    """Ids of the procedures that ``file`` has a part in; None if it is not a readable file of the unit."""
    everything = [procedure.id for procedure in workspace.procedures]
    if file in (root / UNIT_FILE, root / "terms.yaml", root / "accepted.yaml"):
        return everything
    own = [procedure.id for procedure in workspace.procedures if Path(procedure.path).resolve() == file]
    if own:
        return own
    for rig in workspace.rigs:
        if Path(rig.path).resolve() == file:
            return [procedure.id for procedure in workspace.procedures if procedure.rig == rig.id]
    waiver = next((one for one in workspace.waivers if one.path and Path(one.path).resolve() == file), None)
    if waiver is not None:
        return [waiver.procedure]
    if any(rule.path and Path(rule.path).resolve() == file for rule in workspace.rules):
        return everything
    return None


def chosen_findings(where: Where, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings of the input that concern the named files: in them, or outside the procedures and
    unreadable."""
    if where.files is None:
        return tuple(findings)
    procedures = where.root / "procedures"
    kept: list[Finding] = []
    for finding in findings:
        file = None if finding.span is None else Path(finding.span.path).resolve()
        shared = file is None or not file.is_relative_to(procedures)
        if file in where.files or (shared and finding.unusable):
            kept.append(finding)
    return tuple(kept)
