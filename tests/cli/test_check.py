"""stepwell check: exit codes, formats, and which files a call is about."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft7Validator

from stepwell.cli import layers
from stepwell.report.results import CheckReport
from stepwell.resources import data_dir
from tests.cli.conftest import Call
from tests.text import examples


def test_a_clean_unit_is_0(call: Call, good: Path) -> None:
    result = call("check", good)
    assert (result.code, result.err) == (0, "")
    assert "No unsafe order found in the model (complete search)." in " ".join(result.out.split())
    assert "as of 2026-11-25" in result.out


def test_a_violation_is_1_with_its_place_and_its_order(call: Call, bad: Path) -> None:
    result = call("check", bad)
    assert result.code == 1
    place = next(line for line in result.out.splitlines() if "procedures/wrong.yaml:" in line)
    assert place.startswith("bad/procedures/wrong.yaml:")
    line = int(place.split(":")[1])
    assert "a1bc" in (bad / "procedures/wrong.yaml").read_text().splitlines()[line - 1]
    text = " ".join(result.out.split())
    assert "WARNING The line sensor is zeroed when its chamber is not surely dry." in text
    assert "To mend: Zero the line sensor before the prime line is opened." in text
    assert "TRAP 2" in text
    assert "SPRING 5" in text
    assert text.index("TRAP 2") < text.index("SPRING 5")


def test_the_threshold_decides(call: Call, bad: Path) -> None:
    assert call("check", bad, "--fail-on", "fatal").code == 0
    assert call("check", bad, "--fail-on", "serious").code == 1


def test_unusable_input_is_2_even_beside_a_violation(call: Call, bad: Path) -> None:
    path = bad / "procedures/right.yaml"
    path.write_text(path.read_text().replace("use-when", "use-wen"))
    result = call("check", bad)
    assert result.code == 2
    assert "CAN'T READ" in result.out
    assert "bad/procedures/right.yaml:" in result.out
    assert call("check", bad, "--fail-on", "fatal").code == 2


def test_only_something_undecided_is_3(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(layers, "check", lambda *_: examples.UNDECIDED)
    result = call("check", good)
    assert result.code == 3
    assert "NOT DECIDED" in result.out
    monkeypatch.setattr(layers, "check", lambda *_: replace(examples.UNDECIDED, findings=(examples.FATAL,)))
    assert call("check", good).code == 1


def test_json_is_what_its_schema_says(call: Call, bad: Path) -> None:
    schema = json.loads((data_dir("schema") / "check.schema.json").read_text(encoding="utf-8"))
    result = call("check", bad, "--format", "json", "--as-of", "2027-01-31")
    assert result.code == 1
    document = json.loads(result.out)
    Draft7Validator(schema).validate(document)
    assert document["as_of"] == "2027-01-31"
    assert [(v["procedure"], v["status"]) for v in document["verdicts"]] == [("right", "holds"), ("wrong", "violated")]
    finding = next(f for f in document["findings"] if f["rule"] == "sensor-zeroed-wet")
    assert finding["file"] == "bad/procedures/wrong.yaml"
    assert [line["mark"] for line in finding["trace"]["lines"]][-1] == "spring"


def test_json_of_unusable_input_is_still_json(call: Call, good: Path) -> None:
    schema = json.loads((data_dir("schema") / "check.schema.json").read_text(encoding="utf-8"))
    (good / "unit.yaml").write_text("unit: [")
    result = call("check", good, "--format", "json")
    assert result.code == 2
    document = json.loads(result.out)
    Draft7Validator(schema).validate(document)
    assert any(finding["unusable"] for finding in document["findings"])


def test_a_file_alone(call: Call, bad: Path) -> None:
    result = call("check", bad / "procedures/right.yaml")
    assert result.code == 0
    assert "wrong" not in result.out
    assert call("check", bad / "procedures/wrong.yaml").code == 1
    both = call("check", bad / "procedures/right.yaml", bad / "procedures/wrong.yaml")
    assert "2 procedures checked" in both.out


@pytest.mark.parametrize("name", ["rigs/bench.yaml", "unit.yaml", "procedures", "rigs"])
def test_a_shared_file_or_folder_concerns_all(call: Call, bad: Path, name: str) -> None:
    assert "2 procedures checked" in call("check", bad / name).out


def test_a_file_that_another_breaks_is_not_passed_as_clean(call: Call, good: Path) -> None:
    rig = good / "rigs/bench.yaml"
    rig.write_text(rig.read_text().replace("kind: bag", "kind: bga"))
    result = call("check", good / "procedures/right.yaml")
    assert result.code == 2
    assert "good/rigs/bench.yaml:" in result.out


def test_here_is_the_default(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(good)
    result = call("check")
    assert result.code == 0
    monkeypatch.chdir(good / "procedures")
    assert call("check").code == 0


def test_a_folder_that_is_no_unit(call: Call, good: Path) -> None:
    result = call("check")
    assert (result.code, result.out) == (2, "")
    assert "is not a unit's folder" in result.err
    assert f"There is one in it: {good.name}" in " ".join(result.err.split())


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["check", "nowhere"], "no file or folder nowhere"),
        (["check", "good", "bad"], "different units"),
        (["check", "good", "--as-of", "tomorrow"], "not a day like 2026-11-30"),
        (["check", "good", "--fail-on", "awful"], "none of minor, serious, fatal"),
        (["check", "good", "--format", "xml"], "invalid choice"),
        (["chekc"], "invalid choice"),
        ([], "required"),
        (["check", "good/notes.txt"], "not read as a part of the unit"),
    ],
)
def test_calls_that_make_no_sense_are_2(call: Call, good: Path, bad: Path, argv: list[str], said: str) -> None:
    assert bad.is_dir()
    (good / "notes.txt").write_text("nothing")
    result = call(*argv)
    assert (result.code, result.out) == (2, "")
    assert said in " ".join(result.err.split())


def test_the_same_input_and_day_give_the_same_text(call: Call, bad: Path) -> None:
    first, second = (call("check", bad, "--as-of", "2026-01-01").out for _ in range(2))
    assert first == second


def test_a_crash_is_no_verdict(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def crash(*_: object) -> CheckReport:
        raise RuntimeError("boom")

    monkeypatch.setattr(layers, "check", crash)
    result = call("check", good)
    assert result.code == 70
    assert "fault of the tool" in result.err
    assert "boom" in result.err


def test_stopping_is_not_success(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object) -> CheckReport:
        raise KeyboardInterrupt

    monkeypatch.setattr(layers, "check", stop)
    assert call("check", good).code == 130


@pytest.mark.parametrize("module", ["stepwell", "stepwell.cli.main"])
def test_called_as_a_module_it_checks_and_never_ends_well_for_nothing(module: str, tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", module, "check", str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "unit.yaml" in done.stderr
