"""The report on a terminal: what a reader must find in it, at every width, with and without colour."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.diagnostics.trace import Trace
from stepwell.render.text.check_report import render_check
from stepwell.render.text.findings import finding_lines
from stepwell.render.text.look import Look, look_of
from stepwell.render.text.traces import trace_lines
from stepwell.render.text.verdicts import orders_words
from stepwell.render.text.wrap import columns
from stepwell.report.results import CheckReport, Orders
from tests.text import examples

ESCAPES = re.compile(r"\x1b\[[0-9;]*m")


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_finding_begins_with_its_place_and_says_how_to_mend_it() -> None:
    lines = finding_lines(examples.VIOLATION, Look(width=72))
    assert lines[0].startswith("unit/procedures/prime-adult.yaml:30:9: WARNING The drainage sensor")
    text = flat("\n".join(lines))
    assert "[SW101 built-in-sensor-zeroed-wet]" in text
    assert "To mend: Zero the drainage sensor before the prime line is opened." in text
    assert "See also" not in text, "the order marks the trap already"


def test_a_related_place_is_named_where_no_order_marks_it() -> None:
    text = flat("\n".join(finding_lines(replace(examples.VIOLATION, trace=None), Look())))
    assert "See also: unit/procedures/prime-adult.yaml:25:9: the trap is set here [k7f3]" in text


def test_one_action_may_be_trap_and_spring() -> None:
    trace = replace(examples.TRACE, lines=(replace(examples.TRACE.lines[0], mark="trap and spring"),))
    text = "\n".join(trace_lines(trace, Look()))
    assert "SPRING" in text
    assert "It takes one action" in text


def test_signal_words() -> None:
    look = Look()
    assert finding_lines(examples.FATAL, look)[0].startswith("prime-adult: DANGER The sweep gas")
    assert "CAUTION" in finding_lines(examples.SMALL, look)[0]
    assert "CAN'T READ" in finding_lines(examples.UNREADABLE, look)[0]


def test_the_order_is_told_step_by_step() -> None:
    text = "\n".join(trace_lines(examples.TRACE, Look(width=80)))
    assert "The shortest order that leads there, 3 actions:" in text
    rows = [line for line in text.splitlines() if re.search(r"\[\w{4}\]$", line)]
    assert [row.split()[0] for row in rows] == ["1", "TRAP", "SPRING"]
    assert re.search(r"TRAP +2  Assistant +opens the prime clamp \[k7f3\]", text)
    assert "→ the oxygenator may have filled" in text
    assert text.index("SPRING") > text.index("TRAP")
    assert "The circuit at that moment:" in text
    assert "- the pump is stopped" in text


def test_an_order_not_shown_to_be_shortest_does_not_claim_it() -> None:
    text = "\n".join(trace_lines(replace(examples.TRACE, shortest=False), Look()))
    assert "maybe not the shortest" in text
    assert "The shortest" not in text


def test_a_hazard_at_the_start_says_so() -> None:
    assert "from the start" in trace_lines(Trace(lines=()), Look())[0]


def test_the_table_puts_the_worst_first_and_claims_no_more_than_was_searched() -> None:
    text = render_check(examples.REPORT, Look(width=100))
    order = [text.index(word) for word in ("UNSAFE ORDER    SW101", "NOT DECIDED     SW106", "none found      SW104")]
    assert order == sorted(order)
    assert "SW107" not in text
    assert "1 more rule does not apply" in text
    assert "200,000 states seen; every order of up to 14 actions covered" in flat(text)
    assert "None found either, though no omission or move of a single step was found" in flat(text)
    assert "would break it: rule-sw105 (SW105)." in flat(text)
    assert "not all of them searched" in text
    assert "NOT INSPECTED at a real set" in flat(text)
    assert "proved" not in text.lower()


def test_wording_only_is_not_passed_off_as_checked() -> None:
    text = flat(render_check(examples.REPORT, Look()))
    assert "shift-check: Shift check Wording only:" in text
    assert "1 procedure checked as of 2026-11-25, 1 wording only (order not checked)." in text


def test_findings_of_the_files_are_told_once() -> None:
    text = render_check(examples.REPORT, Look())
    assert text.count("“sais”") == 1
    assert text.count("WARNING The drainage sensor") == 1
    assert text.index("In the files") < text.index("“sais”")


@pytest.mark.parametrize(
    ("report", "said", "never"),
    [
        (examples.CLEAN, "No unsafe order found in the model (complete search).", "NOT DECIDED"),
        (examples.UNDECIDED, "1 verdict NOT DECIDED", "No unsafe order found"),
        (examples.REPORT, "3 findings: 2 serious, 1 minor.", "No unsafe order found"),
        (CheckReport(as_of=examples.DAY, procedures=(), findings=()), "Nothing was checked.", "No unsafe order"),
    ],
)
def test_the_sum(report: CheckReport, said: str, never: str) -> None:
    text = flat(render_check(report, Look()))
    assert said in text
    assert never not in text
    assert "Not a medical device" in text


@pytest.mark.parametrize("width", [72, 80, 100])
def test_no_line_is_wider_than_the_window(width: int) -> None:
    for line in render_check(examples.REPORT, Look(width=width)).splitlines():
        assert columns(line) <= width, line


def test_colour_adds_nothing_but_colour() -> None:
    plain = render_check(examples.REPORT, Look())
    coloured = render_check(examples.REPORT, Look(colour=True))
    assert "\x1b[" not in plain
    assert "\x1b[" in coloured
    assert ESCAPES.sub("", coloured) == plain


def test_a_terminal_without_utf8_gets_ascii() -> None:
    text = render_check(examples.REPORT, Look(full=False))
    assert text.isascii()
    assert "-> the oxygenator may have filled" in text
    assert '"sais"' in text


class Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def test_the_look_follows_the_stream() -> None:
    assert look_of(io.StringIO(), {}) == Look(width=80, colour=False, full=False)
    assert look_of(Terminal(), {"TERM": "xterm"}).colour
    assert not look_of(Terminal(), {"TERM": "dumb"}).colour
    assert not look_of(Terminal(), {"TERM": "xterm", "NO_COLOR": ""}).colour
    assert not look_of(Terminal(), {}, windows=True).colour
    assert look_of(Terminal(), {"WT_SESSION": "1"}, windows=True).colour
    assert look_of(Terminal(), {}).full


@pytest.mark.parametrize(("columns_", "width"), [("40", 72), ("90", 90), ("240", 100)])
def test_the_width_stays_readable(monkeypatch: pytest.MonkeyPatch, columns_: str, width: int) -> None:
    monkeypatch.setenv("COLUMNS", columns_)
    assert look_of(Terminal(), {}).width == width


def test_orders_in_words() -> None:
    assert orders_words(Orders(number=1, exact=True)) == "1 order"
    assert orders_words(Orders(number=12480, exact=True)) == "12,480 orders"
    assert orders_words(Orders(number=10**18, exact=False)) == "at least about 1.0e+18 orders"


def test_a_threshold_changes_the_colour_of_the_sum_only() -> None:
    report = CheckReport(as_of=examples.DAY, procedures=(), findings=(examples.SMALL,))
    assert "1 finding: 1 minor." in render_check(report, Look(), threshold=Severity.FATAL)
