"""The report of a check as SARIF 2.1.0, for forges and editors that show findings beside the line.

A violated rule is a result of the kind ``fail``; a rule that was not decided one of the kind ``open``, so that nobody
takes it for a pass. Rules that hold are results of the kind ``pass``.
"""

from __future__ import annotations

import hashlib
import json
from typing import TypeAlias
from urllib.parse import quote

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.repair import Repair
from stepwell.diagnostics.severity import Severity
from stepwell.diagnostics.span import Span
from stepwell.model.rule import Rule
from stepwell.report.results import CheckReport, Status, Verdict

Json: TypeAlias = bool | int | float | str | list["Json"] | dict[str, "Json"] | None

SCHEMA = "https://json.schemastore.org/sarif-2.1.0.json"
_LEVELS = {Severity.FATAL: "error", Severity.SERIOUS: "error", Severity.MINOR: "note"}


def render_sarif(report: CheckReport, rules: tuple[Rule, ...], *, version: str) -> str:
    """The document as text that ends in a newline. ``rules`` are those of the workspace, for their explanations."""
    known = {rule.code: rule for rule in rules}
    codes = sorted(
        {finding.code for finding in report.findings}
        | {verdict.code for procedure in report.procedures for verdict in procedure.verdicts}
    )
    names = {finding.code: finding.rule for finding in report.findings}
    index = {code: number for number, code in enumerate(codes)}
    results = [_finding(finding, index) for finding in report.findings]
    results += [
        _verdict(verdict, index)
        for procedure in report.procedures
        for verdict in procedure.verdicts
        if verdict.status in (Status.HOLDS, Status.NOT_DECIDED)
    ]
    driver: dict[str, Json] = {
        "name": "stepwell",
        "version": version,
        "rules": [_rule(code, known.get(code), names.get(code, "")) for code in codes],
    }
    run: dict[str, Json] = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": [*results]}
    if report.accepted:
        run["properties"] = {"acceptedNotShown": report.accepted}
    document: dict[str, Json] = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(document, ensure_ascii=False, indent=1) + "\n"


def _rule(code: str, rule: Rule | None, name: str) -> Json:
    if rule is None:
        return {"id": code, "name": name or code}
    return {
        "id": code,
        "name": rule.name,
        "shortDescription": {"text": rule.title},
        "fullDescription": {"text": rule.harm or rule.title},
        "help": {"text": f"{rule.control} Not checked: {rule.not_checked}".strip()},
        "defaultConfiguration": {"level": _LEVELS[rule.severity]},
    }


def _finding(finding: Finding, index: dict[str, int]) -> Json:
    text = f"{finding.message} {finding.mend}".strip()
    result: dict[str, Json] = {
        "ruleId": finding.code,
        "ruleIndex": index[finding.code],
        "kind": "fail",
        "level": _LEVELS[finding.severity],
        "message": {"text": text},
        "locations": [_location(finding.span)] if finding.span else [],
        "partialFingerprints": {"stepwell/v1": fingerprint(finding)},
    }
    if finding.waived:
        said = f"Waived by {finding.waived}"
        result["suppressions"] = [{"kind": "external", "status": "accepted", "justification": said}]
    related = [_location(other.span, other.message) for other in finding.related if other.span]
    if related:
        result["relatedLocations"] = [*related]
    if finding.repair is not None and finding.repair.edits:
        result["fixes"] = [_fix(finding.repair)]
    if finding.trace is not None and finding.trace.lines:
        steps: list[Json] = []
        for line in finding.trace.lines:
            said = "; ".join((f"{line.who} {line.does}", *line.changes))
            place: dict[str, Json] = {"message": {"text": f"{line.mark.upper()} {said}".strip()}}
            if line.span is not None:
                place |= _location(line.span)
                place["message"] = {"text": f"{line.mark.upper()} {said}".strip()}
            steps.append({"location": place, "importance": "essential" if line.mark else "important"})
        result["codeFlows"] = [{"threadFlows": [{"locations": steps}]}]
    return result


def _fix(repair: Repair) -> dict[str, Json]:
    """All edits of a repair are in one file."""
    replacements: list[Json] = [
        {"deletedRegion": _region(edit.span), "insertedContent": {"text": edit.text}} for edit in repair.edits
    ]
    place: Json = {"uri": _uri(repair.edits[0].span.path)}
    text = " ".join((repair.sentence, *repair.notes))
    return {"description": {"text": text}, "artifactChanges": [{"artifactLocation": place, "replacements": replacements}]}


def _verdict(verdict: Verdict, index: dict[str, int]) -> Json:
    holds = verdict.status is Status.HOLDS
    why = "no unsafe order found in the model (complete search)" if holds else "not decided"
    if holds and not verdict.searched:
        why = "no unsafe order is possible in the model, by what must come before what (not all were searched)"
    if verdict.bound is not None:
        why = f"not decided: {verdict.bound.reason}"
    return {
        "ruleId": verdict.code,
        "ruleIndex": index[verdict.code],
        "kind": "pass" if holds else "open",
        "level": "none",
        "message": {"text": f"{verdict.procedure}: {verdict.title}: {why}."},
        "partialFingerprints": {"stepwell/v1": _hash(verdict.rule, verdict.procedure, "")},
    }


def fingerprint(finding: Finding) -> str:
    """Stays the same when lines move: the rule, the procedure and the step."""
    return _hash(finding.rule, finding.procedure or (finding.span.path if finding.span else ""), finding.step or "")


def _hash(*words: str) -> str:
    return hashlib.sha256("\0".join(words).encode()).hexdigest()[:32]


def _location(span: Span, message: str = "") -> dict[str, Json]:
    found: dict[str, Json] = {
        "physicalLocation": {
            "artifactLocation": {"uri": _uri(span.path)},
            "region": _region(span),
        }
    }
    if message:
        found["message"] = {"text": message}
    return found


def _region(span: Span) -> dict[str, Json]:
    return {
        "startLine": max(1, span.line),
        "startColumn": max(1, span.column),
        "endLine": max(1, span.end_line),
        "endColumn": max(1, span.end_column),
    }


def _uri(path: str) -> str:
    return quote(path.replace("\\", "/"), safe="/.-_~:")
