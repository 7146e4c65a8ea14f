"""Slips as the command line shows them, as text and as JSON."""

from __future__ import annotations

import json
from pathlib import Path

from jsonschema import Draft7Validator

from stepwell.diagnostics.severity import Severity
from stepwell.model.slip import Sort
from stepwell.render.text.look import Look
from stepwell.render.text.slips import headline, render_slips
from stepwell.resources import data_dir
from stepwell.slips.answers import Answer, Answers, How
from stepwell.slips.results import Outcome, Slip, SlipReport
from tests.cli.conftest import Call, bad, call, good

__all__ = ["bad", "call", "good"]

SILENT = Slip(
    step="a1aa",
    sort=Sort.LOOK_ALIKE,
    outcome=Outcome.SILENT,
    detail="blue clamp instead of red clamp",
    where="b1aa",
    rule="parted-with-a-side-open",
    code="SW999",
    severity=Severity.FATAL,
    fatal=True,
    harms=("parted-with-a-side-open",),
    unconfirmed=("parted-with-a-side-open",),
)
REPORT = SlipReport(
    procedure="p",
    title="A procedure",
    steps=("a1aa", "b1aa"),
    slips=(
        Slip(step="a1aa", sort=Sort.OMITTED, outcome=Outcome.CAUGHT, where="h1aa", fatal=True),
        Slip(step="a1aa", sort=Sort.EARLY, outcome=Outcome.HARMLESS),
        SILENT,
        Slip(step="b1aa", sort=Sort.OMITTED, outcome=Outcome.HARMLESS, misses_end=True),
        Slip(step="b1aa", sort=Sort.EARLY, outcome=Outcome.STOPPED, where="b1aa"),
        Slip(step="b1aa", sort=Sort.TWICE, outcome=Outcome.UNDECIDED),
        Slip(step="b1aa", sort=Sort.UNCHECKED, outcome=Outcome.ONLY_CATCH),
    ),
    critical=("a1aa",),
    fatal_silent=1,
    fatal_total=2,
)


def answers(how: How, *waivers: str) -> Answers:
    answer = Answer(step="a1aa", sort=Sort.LOOK_ALIKE, how=how, waivers=waivers)
    return Answers(report=REPORT, answers=(answer,), most=2, findings=())


SHOWN = answers(How.NOTHING)


def test_matrix_sentence_and_headline() -> None:
    lines = render_slips(SHOWN, Look(width=90)).splitlines()
    rows = [[cell.strip() for cell in line.split("  ") if cell.strip()] for line in lines[2:5]]
    assert rows[0] == ["step", "omitted", "too early", "twice", "look-alike", "unchecked"]
    assert rows[1] == ["1 a1aa", "caught at h1aa", "harmless", "-", "FATAL SW999", "-"]
    assert rows[2] == ["2 b1aa", "end missed", "stopped at 2", "UNDECIDED", "-", "only catch"]
    text = " ".join(" ".join(lines).split())
    assert (
        "Step 1 (a1aa) done to blue clamp instead of red clamp: parted-with-a-side-open (SW999, fatal) at step 2 (b1aa)."
        in text
    )
    assert "Critical steps: 1 (a1aa)." in text
    assert text.endswith(headline(SHOWN))
    assert headline(SHOWN).startswith("Fatal slips that nothing in the model catches: 1 of 2.")
    assert "0 waived by name, 0 leaning on a confirmation, 1 not answered for. 1 slip NOT DECIDED" in headline(SHOWN)
    assert "NOT ANSWERED FOR." in text


def test_a_waiver_and_a_confirmation_are_told_beside_the_slip() -> None:
    waived = " ".join(render_slips(answers(How.WAIVED, "Nurse, until 2028-01-01: It is so."), Look(width=90)).split())
    assert "waived SW999" in waived
    assert "Waived by Nurse, until 2028-01-01: It is so." in waived
    assert "1 waived by name, 0 leaning on a confirmation, 0 not answered for." in waived
    second = " ".join(render_slips(answers(How.CONFIRMED), Look(width=90)).split())
    assert "second SW999" in second
    assert "0 waived by name, 1 leaning on a confirmation, 0 not answered for." in second


def test_a_narrow_terminal_is_not_overrun() -> None:
    for width in (72, 80, 100):
        assert all(len(line) <= width for line in render_slips(SHOWN, Look(width=width)).splitlines())
    assert render_slips(SHOWN, Look(width=72, full=False)).isascii()


def test_check_tells_slips_only_when_asked(call: Call, good: Path) -> None:
    plain, asked = call("check", good), call("check", good, "--slips")
    assert asked.code == plain.code == 0
    assert "Slips" not in plain.out
    assert asked.out.startswith(plain.out)
    assert "Fatal slips that nothing in the model catches: " in asked.out
    assert " ".join(asked.out.split()).endswith("Nothing to answer for in slips.")


def test_json_with_slips_is_what_its_schema_says(call: Call, bad: Path) -> None:
    schema = json.loads((data_dir("schema") / "check.schema.json").read_text(encoding="utf-8"))
    assert "slips" not in json.loads(call("check", bad, "--format", "json").out)
    document = json.loads(call("check", bad, "--format", "json", "--slips").out)
    Draft7Validator(schema).validate(document)
    checked = [entry["procedure"] for entry in document["procedures"] if entry["checked"]]
    assert [entry["procedure"] for entry in document["slips"]] == checked
    assert all(entry["slips"] for entry in document["slips"])
    document["slips"][0]["slips"][0]["outcome"] = "fine"
    assert not Draft7Validator(schema).is_valid(document)
