"""The calls from the command line into the layers that look for repairs.

What bounds the looking is the time that the processor spends on it, so that a busy machine finds what an idle one finds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from time import process_time
from typing import TYPE_CHECKING

from stepwell.cli.console import Console
from stepwell.diagnostics.finding import Finding
from stepwell.report.results import CheckReport, ProcedureReport

if TYPE_CHECKING:
    from stepwell.model.procedure import Procedure
    from stepwell.model.workspace import Workspace
    from stepwell.repairs.search import Mend

TOO_LATE = "It harms while the step itself is done, so that no look behind it comes in time."
Asked = Callable[[Finding], bool]


def with_repairs(
    report: CheckReport,
    root: Path,
    workspace: Workspace | None,
    as_of: date,
    console: Console,
    asked: Asked = lambda _: True,
) -> CheckReport:
    """The report with a repair at every finding of an order that is asked for and has one."""
    if workspace is None:
        return report
    cards = {procedure.id: procedure for procedure in workspace.procedures}
    entries: list[ProcedureReport] = []
    made: dict[Finding, Finding] = {}
    for entry in report.procedures:
        if entry.checked:
            console.progress(f"Looking for repairs of {entry.title} ...")
            made |= _mended(root, workspace, cards[entry.procedure], entry, as_of, asked)
        entries.append(replace(entry, findings=tuple(made.get(one, one) for one in entry.findings)))
    findings = tuple(made.get(one, one) for one in report.findings)
    return replace(report, procedures=tuple(entries), findings=findings)


def _mended(
    root: Path, workspace: Workspace, procedure: Procedure, entry: ProcedureReport, as_of: date, asked: Asked
) -> dict[Finding, Finding]:
    from stepwell.authoring.repairing import repair_of
    from stepwell.repairs.search import mends_of
    from stepwell.repairs.trouble import key_of_finding

    by_key = {
        key: finding
        for finding in entry.findings
        if not finding.waived and asked(finding) and (key := key_of_finding(finding, procedure)) is not None
    }
    if not by_key:
        return {}
    mends = mends_of(workspace, procedure, as_of=as_of, clock=process_time, only=by_key.__contains__)
    made: dict[Finding, Finding] = {}
    for mend in mends:
        finding = by_key[mend.key]
        if mend.changes:
            made[finding] = replace(finding, repair=repair_of(root, workspace, procedure, mend))
        else:
            made[finding] = replace(finding, unmended=_nothing(mend))
    return made


def _nothing(mend: Mend) -> str:
    if not mend.tried:
        return "There was no change to try."
    tried = "1 change was" if mend.tried == 1 else f"{mend.tried} changes were"
    short = " The search was cut short." if mend.cut_short else ""
    return f"{tried} tried, and none passed all rules, the ends and the slips.{short}"


def slip_repairs(
    root: Path, workspace: Workspace, procedure: Procedure, as_of: date, console: Console
) -> tuple[Finding, ...]:
    """A finding for each fatal slip that nothing catches, with the look that would catch it where there is one."""
    from stepwell.authoring.repairing import repair_of
    from stepwell.repairs.catching import Catcher
    from stepwell.repairs.recheck import Rechecks
    from stepwell.repairs.scene import scene_of
    from stepwell.repairs.slip_findings import slip_finding
    from stepwell.repairs.wording import Wording
    from stepwell.report.starts import UnknownStartError

    console.progress(f"Looking for what would catch the slips of {procedure.title} ...")
    try:
        scene = scene_of(workspace, procedure, clock=process_time)
    except UnknownStartError:
        return ()
    if scene is None or not scene.base.complete:
        return ()
    wording = Wording(procedure, scene.rig, workspace.unit)
    rules = {rule.name: rule for rule in scene.rules}
    found: list[Finding] = []
    waived = frozenset(
        (one.step, one.slip, one.rule)
        for one in workspace.waivers
        if one.procedure == procedure.id and one.step is not None and one.slip is not None and not one.expired(as_of)
    )
    for slipping, mend in Catcher(scene, Rechecks(scene, as_of), waived=waived).catches():
        told = slip_finding(procedure, rules[slipping.silent[2]], slipping.silent, slipping.where, wording)
        if mend.changes:
            found.append(replace(told, repair=repair_of(root, workspace, procedure, mend)))
        else:
            in_time = mend.tried or slipping.where != slipping.silent[0]
            found.append(replace(told, unmended=_nothing(mend) if in_time else TOO_LATE))
    return tuple(found)
