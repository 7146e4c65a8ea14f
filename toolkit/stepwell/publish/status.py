"""Why a sheet is a draft. Never why it would be safe."""

from __future__ import annotations

from stepwell.model.procedure import Procedure
from stepwell.publish.sheet import ReleaseMark, StatusLine
from stepwell.report.results import ProcedureReport, Status


def status_of(procedure: Procedure, report: ProcedureReport | None, release: ReleaseMark | None) -> StatusLine:
    """The status line: released, or a draft with its reasons in the order in which they matter."""
    reasons: list[str] = []
    if procedure.wording_only:
        reasons.append("order not checked (wording only)")
    elif report is None or not report.checked:
        reasons.append("order not checked")
    else:
        reasons.extend(
            f"{word if verdict.waiver is None else 'violated, but waived'}: {verdict.title}"
            for status, word in ((Status.VIOLATED, "violated"), (Status.NOT_DECIDED, "not decided"))
            for verdict in report.verdicts
            if verdict.status is status
        )
    if report is not None:
        # By name: a card has no room for what a finding says.
        reasons.extend(dict.fromkeys(f"found: {finding.rule.replace('-', ' ')}" for finding in report.against))
    if release is None:
        return StatusLine(draft=True, reasons=("not released", *reasons))
    return StatusLine(draft=False, reasons=tuple(reasons))
