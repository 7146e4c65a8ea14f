"""The verb, and the repairs beside the findings of a check, on a very small unit."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from jsonschema import Draft4Validator, Draft7Validator

from stepwell.cli.main import main
from stepwell.resources import data_dir
from tests.cli.unit import FILES, write_unit
from tests.demo import PROTOCOLS

DAY = ("--no-cache", "--as-of", "2026-11-30")
SARIF = Path(__file__).parent.parent / "text" / "outside" / "sarif-2.1.0-rtm.5.json"


@pytest.fixture
def wrong(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file of a card that zeroes a built-in sensor after the fill; nothing else of the unit is wrong."""
    root = write_unit(tmp_path / "unit", bad=True)
    (root / "rules" / "sensor-zeroed-wet.yaml").unlink(missing_ok=True)
    monkeypatch.chdir(tmp_path)
    return root / "procedures" / "wrong.yaml"


def test_the_danger_is_not_kept_out_by_doing_nothing(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With the vent covered before the fill the set would stay dry, and any sensor could be zeroed at any time."""
    assert main(["repair", str(wrong), *DAY, "--apply"]) == 0
    assert "and checked it again. 0 findings left" in " ".join(capsys.readouterr().out.split())
    ids = [line.split("id: ")[1][:4] for line in wrong.read_text(encoding="utf-8").splitlines() if "{id:" in line]
    assert sorted(ids) == sorted(("a1bc", "b2cd", "c3de", "w9xy", "d4ef", "e5fg"))
    assert ids.index("a1bc") < ids.index("c3de") < ids.index("e5fg")


def test_json_and_sarif_carry_the_sentence_and_the_edit(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(wrong), *DAY, "--repairs", "--format", "json"]) == 1
    found = json.loads(capsys.readouterr().out)
    schema = json.loads((data_dir("schema") / "check.schema.json").read_text(encoding="utf-8"))
    assert [error.message for error in Draft7Validator(schema).iter_errors(found)] == []
    offered = [one["repair"] for one in found["findings"] if one["repair"]]
    assert offered
    assert offered[0]["sentence"].startswith("Move step ")
    lines = wrong.read_text(encoding="utf-8").splitlines(keepends=True)
    for edit in reversed(offered[0]["edits"]):
        assert edit["file"] == "unit/procedures/wrong.yaml"
        lines[edit["line"] - 1 : edit["end"]["line"] - 1] = [edit["text"]]
    wrong.write_text("".join(lines), encoding="utf-8")

    mended = next(one for one in found["findings"] if one["repair"] == offered[0])
    main(["check", str(wrong), *DAY, "--format", "json"])
    assert mended["rule"] not in {one["rule"] for one in json.loads(capsys.readouterr().out)["findings"]}


def test_sarif_has_the_edit_as_a_fix(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(wrong), *DAY, "--repairs", "--format", "sarif"]) == 1
    found = json.loads(capsys.readouterr().out)
    assert [error.message for error in Draft4Validator(json.loads(SARIF.read_text())).iter_errors(found)] == []
    fixes = [fix for one in found["runs"][0]["results"] for fix in one.get("fixes", ())]
    assert fixes[0]["artifactChanges"][0]["replacements"][0]["deletedRegion"]["startColumn"] == 1


def test_a_rule_that_is_not_broken_has_nothing_to_repair(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = wrong.read_bytes()
    assert main(["repair", str(wrong), *DAY, "--rule", "vent-left-open", "--apply"]) == 1
    assert "Nothing of vent-left-open was found in unit/procedures/wrong.yaml" in " ".join(capsys.readouterr().out.split())
    assert wrong.read_bytes() == text


def test_where_nothing_helps_that_is_said(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    never = FILES["procedures/right.yaml"].replace("procedure: right", "procedure: wrong")
    ends = "ends: [{shut: [vent, prime-clamp]}, {open: prime-clamp}]"
    wrong.write_text(never.replace("ends: [{shut: [vent, prime-clamp]}]", ends), encoding="utf-8")
    assert main(["repair", str(wrong), *DAY, "--apply"]) == 1
    shown = " ".join(capsys.readouterr().out.split())
    assert "No repair:" in shown
    assert "none passed all rules, the ends and the slips" in shown


def test_a_folder_is_not_a_card(wrong: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["repair", str(wrong.parent.parent), *DAY]) == 2
    assert "Name the file of a procedure." in capsys.readouterr().err


def test_a_slip_that_the_unit_lives_with_is_not_brought_up_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(PROTOCOLS, tmp_path / "unit")
    monkeypatch.chdir(tmp_path)
    assert main(["repair", "unit/procedures/connect-va.yaml", *DAY, "--slips"]) == 0
    assert "limb-on-wrong-cannula" not in capsys.readouterr().out
    (waiver,) = (tmp_path / "unit" / "rules").glob("lived-with-limbs-va.yaml")
    waiver.unlink()
    assert main(["repair", "unit/procedures/connect-va.yaml", *DAY, "--slips"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "[SW133 limb-on-wrong-cannula] No repair: It harms while the step itself is done" in shown
