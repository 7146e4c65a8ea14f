"""SARIF against the schema of the standard, JUnit against another reader of it."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft4Validator

from stepwell.cli.names import builtin_rules
from stepwell.render.junit import render_junit
from stepwell.render.sarif import fingerprint, render_sarif
from stepwell.report.results import CheckReport, Status
from tests.text.examples import CLEAN, REPORT, UNDECIDED, VIOLATION, span

# The schema of SARIF 2.1.0 as published by its committee (OASIS), revision rtm.5.
SCHEMA = json.loads((Path(__file__).parent / "outside" / "sarif-2.1.0-rtm.5.json").read_text(encoding="utf-8"))
REPORTS = pytest.mark.parametrize("report", [CLEAN, REPORT, UNDECIDED], ids=["clean", "findings", "undecided"])


def sarif(report: CheckReport) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(render_sarif(report, builtin_rules(), version="0.1.0"))
    return found


@REPORTS
def test_sarif_is_what_the_standard_asks_for(report: CheckReport) -> None:
    assert [error.message for error in Draft4Validator(SCHEMA).iter_errors(sarif(report))] == []


@REPORTS
def test_every_result_names_its_rule_and_nothing_is_lost(report: CheckReport) -> None:
    run = sarif(report)["runs"][0]
    rules = run["tool"]["driver"]["rules"]
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
    kinds = [result["kind"] for result in run["results"]]
    verdicts = [verdict for procedure in report.procedures for verdict in procedure.verdicts]
    assert kinds.count("fail") == len(report.findings)
    assert kinds.count("open") == sum(1 for verdict in verdicts if verdict.status is Status.NOT_DECIDED)
    assert kinds.count("pass") == sum(1 for verdict in verdicts if verdict.status is Status.HOLDS)


def test_what_is_not_decided_never_passes() -> None:
    undecided = {v.code for p in UNDECIDED.procedures for v in p.verdicts if v.status is Status.NOT_DECIDED}
    assert undecided
    passed = {result["ruleId"] for result in sarif(UNDECIDED)["runs"][0]["results"] if result["kind"] == "pass"}
    assert not undecided & passed
    suite = ET.fromstring(render_junit(UNDECIDED))
    for case in suite.iter("testcase"):
        if case.get("name", "").split()[0] in undecided:
            assert case.find("error") is not None


def test_a_fingerprint_outlives_a_moved_line_and_no_more() -> None:
    assert fingerprint(VIOLATION) == fingerprint(replace(VIOLATION, span=span(90), message="other words"))
    assert fingerprint(VIOLATION) != fingerprint(replace(VIOLATION, step="zzzz"))
    assert fingerprint(VIOLATION) != fingerprint(replace(VIOLATION, procedure="other"))


def test_the_order_that_leads_there_is_a_code_flow() -> None:
    result = next(r for r in sarif(REPORT)["runs"][0]["results"] if "codeFlows" in r)
    said = [step["location"]["message"]["text"] for step in result["codeFlows"][0]["threadFlows"][0]["locations"]]
    assert any(text.startswith("TRAP ") for text in said)
    assert said[-1].startswith("SPRING ")


@REPORTS
def test_junit_counts_what_it_holds(report: CheckReport) -> None:
    junitparser = pytest.importorskip("junitparser", reason="junitparser is not here")
    read = junitparser.JUnitXml.fromstring(render_junit(report).encode())
    cases = [case for suite in read for case in suite]
    assert read.tests == len(cases)
    verdicts = [verdict for procedure in report.procedures for verdict in procedure.verdicts]
    failed = sum(1 for case in cases if any(isinstance(r, junitparser.Failure) for r in case.result))
    assert read.failures == failed >= sum(1 for verdict in verdicts if verdict.status is Status.VIOLATED)
    assert read.errors == sum(1 for v in verdicts if v.status is Status.NOT_DECIDED) + sum(
        1 for p in report.procedures if not p.checked
    )


@given(st.text())
def test_whatever_an_author_wrote_the_xml_can_be_read(text: str) -> None:
    finding = replace(VIOLATION, message=text, mend=text, rule="x")
    report = replace(CLEAN, findings=(finding,))
    root = ET.fromstring(render_junit(report).encode("utf-8", "surrogatepass"))
    assert root.get("failures") == "1"
