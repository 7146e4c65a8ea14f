"""The report of a check as a JSON document, as ``schema/check.schema.json`` describes it."""

from __future__ import annotations

import json
from typing import TypeAlias

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.repair import Repair
from stepwell.diagnostics.span import Span
from stepwell.diagnostics.trace import Trace, TraceLine
from stepwell.model.waiver import Waiver
from stepwell.render.json_slips import slips_document
from stepwell.report.results import Bites, Bound, CheckReport, ProcedureReport, Verdict
from stepwell.slips.answers import Answers

Json: TypeAlias = bool | int | float | str | list["Json"] | dict[str, "Json"] | None


def render_json(report: CheckReport, *, version: str, slips: tuple[Answers, ...] | None = None) -> str:
    """The document as text that ends in a newline. ``version`` is the tool's own. Keys keep the order of
    the schema. ``slips`` None: they were not asked for, and the document has no such key."""
    return json.dumps(check_document(report, version=version, slips=slips), ensure_ascii=False, indent=2) + "\n"


def check_document(report: CheckReport, *, version: str, slips: tuple[Answers, ...] | None = None) -> dict[str, Json]:
    """The document as plain values. Absent things are null, so that every key is always there, but for
    ``slips`` and ``accepted``."""
    document: dict[str, Json] = {
        "tool": "stepwell",
        "version": version,
        "as_of": report.as_of.isoformat(),
        "procedures": [_procedure(entry) for entry in report.procedures],
        "findings": [finding_document(entry) for entry in report.findings],
        "verdicts": [_verdict(verdict) for entry in report.procedures for verdict in entry.verdicts],
    }
    if report.accepted:
        document["accepted"] = report.accepted
    if slips is not None:
        document["slips"] = [slips_document(entry) for entry in slips]
    return document


def finding_document(finding: Finding) -> dict[str, Json]:
    """One finding. ``repair`` is null where none was looked for, or none was found."""
    return {
        "rule": finding.rule,
        "code": finding.code,
        "severity": finding.severity.word,
        "signal": finding.signal,
        "procedure": finding.procedure,
        "step": finding.step,
        "message": finding.message,
        "mend": finding.mend,
        **_place(finding.span),
        "unusable": finding.unusable,
        "related": [_related(entry) for entry in finding.related],
        "trace": None if finding.trace is None else _trace(finding.trace),
        "repair": None if finding.repair is None else _repair(finding.repair),
        "waived": finding.waived or None,
    }


def _repair(repair: Repair) -> Json:
    edits: list[Json] = [{**_place(edit.span), "text": edit.text} for edit in repair.edits]
    return {"sentence": repair.sentence, "notes": list(repair.notes), "edits": edits}


def _place(span: Span | None) -> dict[str, Json]:
    if span is None:
        return {"file": None, "line": None, "column": None, "end": None}
    end: dict[str, Json] = {"line": span.end_line, "column": span.end_column}
    return {"file": span.path, "line": span.line, "column": span.column, "end": end}


def _related(related: Related) -> Json:
    return {"message": related.message, "step": related.step, **_place(related.span)}


def _trace(trace: Trace) -> Json:
    return {
        "lines": [_line(line) for line in trace.lines],
        "circuit": list(trace.circuit),
        "shortest": trace.shortest,
    }


def _line(line: TraceLine) -> Json:
    return {
        "step": line.step,
        "who": line.who,
        "does": line.does,
        "changes": list(line.changes),
        # Where one action is both, the schema's word for it is the harm.
        "mark": "spring" if "spring" in line.mark else line.mark or None,
        **_place(line.span),
    }


def _procedure(report: ProcedureReport) -> Json:
    return {
        "procedure": report.procedure,
        "title": report.title,
        "checked": report.checked,
        "orders": None if report.orders is None else str(report.orders.number),
        "orders_exact": None if report.orders is None else report.orders.exact,
        "states": report.states,
    }


def _verdict(verdict: Verdict) -> Json:
    # The count of orders passes 2^53 easily, and a JSON number would be rounded by most readers: a decimal
    # string.
    return {
        "procedure": verdict.procedure,
        "rule": verdict.rule,
        "code": verdict.code,
        "status": verdict.status.value,
        "searched": verdict.searched,
        "orders": str(verdict.orders.number),
        "orders_exact": verdict.orders.exact,
        "bites": None if verdict.bites is None else _bites(verdict.bites),
        "bound": None if verdict.bound is None else _bound(verdict.bound),
        "waiver": None if verdict.waiver is None else _waiver(verdict.waiver),
        "milliseconds": round(verdict.milliseconds, 3),
        "rig": {"id": verdict.rig, "version": verdict.rig_version},
        "inspected": None if verdict.inspected is None else verdict.inspected.isoformat(),
    }


def _bites(bites: Bites) -> Json:
    return {
        "step": bites.step,
        "statement": bites.statement,
        "trace": None if bites.trace is None else _trace(bites.trace),
    }


def _waiver(waiver: Waiver) -> Json:
    until = waiver.until.isoformat()
    return {"step": waiver.step, "by": waiver.by, "reason": waiver.reason, "until": until}


def _bound(bound: Bound) -> Json:
    return {"states": bound.states, "length": bound.length, "reason": bound.reason}
