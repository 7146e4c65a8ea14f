"""The report of a check as JUnit XML: one suite per procedure, one case per rule.

A violated rule is a failure; one that was not decided an error, because a case that merely passes or is skipped would
be read as safe. A rule that does not apply is skipped, and so is one that is violated but waived, with the waiver.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

from stepwell.diagnostics.finding import Finding
from stepwell.report.results import CheckReport, ProcedureReport, Status, Verdict

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def render_junit(report: CheckReport) -> str:
    """The document as text that ends in a newline."""
    root = ET.Element("testsuites", {"name": "stepwell"})
    shown: list[Finding] = []
    for procedure in report.procedures:
        _suite(root, procedure)
        shown += [verdict.finding for verdict in procedure.verdicts if verdict.finding]
    rest = [finding for finding in report.findings if finding not in shown]
    if rest:
        suite = ET.SubElement(root, "testsuite", {"name": "other findings"})
        for finding in rest:
            _case(suite, "other findings", f"{finding.code} {finding.rule}", failure=finding)
        _count(suite)
    _count(root)
    if report.accepted:
        properties = ET.Element("properties")
        ET.SubElement(properties, "property", {"name": "accepted-not-shown", "value": str(report.accepted)})
        root.insert(0, properties)
    ET.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"


def _suite(root: ET.Element, report: ProcedureReport) -> None:
    suite = ET.SubElement(root, "testsuite", {"name": _clean(report.procedure)})
    if not report.checked:
        case = _case(suite, report.procedure, "order")
        ET.SubElement(case, "error", {"type": "not checked", "message": "The order of this procedure was not checked."})
    for verdict in report.verdicts:
        _verdict(suite, verdict)
    _count(suite)


def _verdict(suite: ET.Element, verdict: Verdict) -> None:
    name = f"{verdict.code} {verdict.rule}"
    match verdict.status:
        case Status.VIOLATED if verdict.waiver is not None:
            why = verdict.finding.waived if verdict.finding else verdict.waiver.reason
            case = _case(suite, verdict.procedure, name)
            ET.SubElement(case, "skipped", {"message": _clean(f"violated, but waived by {why}")})
        case Status.VIOLATED if verdict.finding is not None:
            _case(suite, verdict.procedure, name, failure=verdict.finding)
        case Status.VIOLATED:
            case = _case(suite, verdict.procedure, name)
            ET.SubElement(case, "failure", {"type": verdict.severity.word, "message": _clean(verdict.title)})
        case Status.NOT_DECIDED:
            why = verdict.bound.reason if verdict.bound else "the search was stopped"
            case = _case(suite, verdict.procedure, name)
            ET.SubElement(case, "error", {"type": "not decided", "message": _clean(f"Not decided: {why}.")})
        case Status.NOT_APPLICABLE:
            ET.SubElement(_case(suite, verdict.procedure, name), "skipped", {"message": "does not apply"})
        case Status.HOLDS:
            _case(suite, verdict.procedure, name)


def _case(suite: ET.Element, group: str, name: str, failure: Finding | None = None) -> ET.Element:
    case = ET.SubElement(suite, "testcase", {"classname": _clean(group), "name": _clean(name), "time": "0"})
    if failure is not None:
        told = ET.SubElement(case, "failure", {"type": failure.severity.word, "message": _clean(failure.message)})
        lines = [str(failure.span) if failure.span else "", failure.mend]
        if failure.trace is not None:
            lines += [f"{line.mark.upper():6} {line.who} {line.does}" for line in failure.trace.lines]
        told.text = _clean("\n".join(line for line in lines if line))
    return case


def _count(suite: ET.Element) -> None:
    suite.set("tests", str(len(list(suite.iter("testcase")))))
    for word, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
        suite.set(word, str(len(list(suite.iter(tag)))))


def _clean(text: str) -> str:
    """The text without characters that XML can't hold."""
    return _NOT_XML.sub("\ufffd", text)
