"""The JSON document: every field of the contract, always there, and numbers that survive other readers."""

from __future__ import annotations

import json

from stepwell.render.json_report import check_document, finding_document, render_json
from tests.text import examples


def test_a_finding_has_every_field() -> None:
    document = finding_document(examples.VIOLATION)
    assert list(document) == [
        "rule", "code", "severity", "signal", "procedure", "step", "message", "mend", "file", "line", "column", "end",
        "unusable", "related", "trace", "repair", "waived",
    ]  # fmt: skip
    assert (document["file"], document["line"], document["column"]) == ("unit/procedures/prime-adult.yaml", 30, 9)
    assert document["end"] == {"line": 30, "column": 29}
    assert (document["severity"], document["signal"]) == ("serious", "WARNING")


def test_a_finding_without_a_place_keeps_its_keys() -> None:
    document = finding_document(examples.FATAL)
    assert list(document) == list(finding_document(examples.VIOLATION))
    assert document["file"] is document["line"] is document["column"] is document["end"] is document["trace"] is None


def test_the_trace_marks_trap_and_spring() -> None:
    trace = json.loads(render_json(examples.REPORT, version="0"))["findings"][1]["trace"]
    assert [line["mark"] for line in trace["lines"]] == [None, "trap", "spring"]
    assert trace["lines"][1]["changes"][1] == "the oxygenator may have filled"
    assert (trace["lines"][1]["file"], trace["lines"][1]["line"]) == ("unit/procedures/prime-adult.yaml", 25)
    assert trace["circuit"] == ["the drainage line holds liquid with air", "the pump is stopped"]


def test_orders_are_decimal_strings() -> None:
    verdicts = json.loads(render_json(examples.REPORT, version="0"))["verdicts"]
    assert len(verdicts) == 5
    assert {verdict["orders"] for verdict in verdicts} == {"18446744073709551616"}
    assert {verdict["status"] for verdict in verdicts} == {"holds", "violated", "not decided", "not applicable"}
    assert verdicts[3]["bound"] == {"states": 200_000, "length": 14, "reason": "the limit was reached"}
    assert verdicts[0]["bites"] == {"step": "k7f3", "statement": "Leaving out k7f3 would break it.", "trace": None}
    assert all(verdict["inspected"] is None for verdict in verdicts)


def test_the_document_is_stable_and_keeps_other_scripts() -> None:
    text = render_json(examples.REPORT, version="1.2.3")
    assert text == render_json(examples.REPORT, version="1.2.3")
    assert "“sais”" in text
    assert json.loads(text) == json.loads(json.dumps(check_document(examples.REPORT, version="1.2.3")))
    assert json.loads(text)["as_of"] == "2026-11-25"
