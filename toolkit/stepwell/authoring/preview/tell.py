"""Findings and verdicts as values for the page, in the author's words."""

from __future__ import annotations

import re
from collections.abc import Mapping

from stepwell.authoring.editing.outline import Row, every_row
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.trace import Trace
from stepwell.render.site.verdict_words import tell, tell_trace, verdict_words
from stepwell.report.results import ProcedureReport, Status

Json = dict[str, object]
_ID = re.compile(r"\b[a-z][a-z0-9]{3}\b")
_RANK = {Status.VIOLATED: 0, Status.NOT_DECIDED: 1, Status.HOLDS: 2, Status.NOT_APPLICABLE: 3}


def told_finding(finding: Finding, marks: Mapping[str, str], moment: str = "") -> Json:
    """One finding. ``moment`` is the address of the drawing of that moment."""
    span = finding.span
    return {
        "signal": finding.signal,
        "severity": finding.severity.word,
        "code": finding.code,
        "rule": finding.rule,
        "message": finding.message[:1].upper() + finding.message[1:],
        "mend": finding.mend,
        "line": span.line if span else 0,
        "column": span.column if span else 0,
        "file": span.path if span else "",
        "waived": finding.waived,
        "unusable": finding.unusable,
        "related": [
            (f"Step {marks.get(other.step, other.step)}: " if other.step else "") + other.message
            for other in finding.related
        ],
        "trace": None if finding.trace is None else _trace(finding.trace, marks),
        "moment": moment,
        "old": False,
        "set": "",
    }


def _trace(trace: Trace, marks: Mapping[str, str]) -> Json:
    told = tell_trace(trace)
    lines = [
        {
            "step": line.step,
            "mark": marks.get(line.step, ""),
            "who": line.who,
            "does": line.does,
            "changes": list(line.changes),
            "sign": line.mark,
        }
        for line in told.lines
    ]
    return {"heading": told.heading, "lines": lines, "circuit": list(told.circuit)}


def place_of(finding: Finding, rows: tuple[Row, ...], path: str) -> str:
    """The pointer of the innermost row that a finding is about; empty if it is about none."""
    every = list(every_row(rows))
    if finding.span is not None and finding.span.path == path:
        line = finding.span.line
        inside = [row for row in every if row.first_line <= line <= row.last_line]
        if inside:
            return inside[-1].path
    if finding.step:
        # Steps that stand for several have ids of their own that begin with the one in the file.
        hit = [row for row in every if row.id and (row.id == finding.step or finding.step.startswith(row.id))]
        if hit:
            return max(hit, key=lambda row: len(row.id)).path
    return ""


def told_verdict(report: ProcedureReport, marks: Mapping[str, str]) -> Json:
    """What the check of one procedure came to, in words that claim no more than was searched."""
    told = tell(report, marks)
    undecided = any(verdict.status is Status.NOT_DECIDED for verdict in report.verdicts)
    broken = any(verdict.status is Status.VIOLATED for verdict in report.verdicts) or bool(report.against)
    state = "open" if not report.checked else "bad" if broken else "undecided" if undecided or told.bad else "clear"
    rules = [
        {"title": verdict.title, "words": verdict_words(verdict), "status": verdict.status.value, "code": verdict.code}
        for verdict in sorted(report.verdicts, key=lambda one: (_RANK[one.status], -one.severity, one.code))
        if verdict.status is not Status.NOT_APPLICABLE
    ]
    return {
        "state": state,
        "headline": told.headline,
        "limits": told.limits,
        "reasons": _reasons(report, marks),
        "rules": rules,
        "silent": sum(verdict.status is Status.NOT_APPLICABLE for verdict in report.verdicts),
    }


def _reasons(report: ProcedureReport, marks: Mapping[str, str]) -> list[Json]:
    """Why rules were not decided, each reason once, with the ids of the steps that it names."""
    found: dict[str, Json] = {}
    for verdict in report.verdicts:
        if verdict.status is Status.NOT_DECIDED and verdict.bound is not None:
            reason = verdict.bound.reason
            steps = [name for name in _ID.findall(reason) if name in marks]
            text = _ID.sub(lambda match: f"step {marks[match[0]]}" if match[0] in marks else match[0], reason)
            found.setdefault(reason, {"text": text[:1].upper() + text[1:], "steps": steps})
    return list(found.values())
