"""Accepted findings of writing: only new ones are shown, nothing that matters is hidden, every format says the same."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

import jsonschema

from stepwell.resources import data_dir
from tests.cli.conftest import Call

WORDY = 'say: "Cover {vent} and then look at it again for a good while, because it is the vent of the whole set here."'


def wordy(unit: Path) -> Path:
    """A step of the procedure that is right, in too many words."""
    path = unit / "procedures" / "right.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('say: "Cover {vent}."', WORDY), encoding="utf-8")
    return unit


def codes(call: Call, unit: Path, *more: str) -> list[str]:
    return [one["rule"] for one in json.loads(call("check", unit, "--format", "json", *more).out)["findings"]]


def test_what_was_accepted_is_not_shown_again_and_counted(call: Call, good: Path) -> None:
    wordy(good)
    before = codes(call, good)
    assert "line-too-long" in before
    assert call("check", good, "--accept", "nurse").code in (0, 1)
    written = (good / "accepted.yaml").read_text(encoding="utf-8")
    assert "{rule: line-too-long, procedure: right, step: e5fg, on: 2026-11-25, by: nurse}" in written
    after = codes(call, good)
    assert "line-too-long" not in after
    text = call("check", good).out
    assert f"{len(before) - len(after)} accepted finding" in " ".join(text.split())


def test_every_format_leaves_the_same_out_and_says_how_many(call: Call, good: Path) -> None:
    wordy(good)
    count = len(codes(call, good))
    call("check", good, "--accept", "nurse")
    document = json.loads(call("check", good, "--format", "json").out)
    jsonschema.validate(document, json.loads((data_dir("schema") / "check.schema.json").read_text(encoding="utf-8")))
    hidden = document["accepted"]
    assert hidden == count - len(document["findings"]) > 0
    sarif = json.loads(call("check", good, "--format", "sarif").out)["runs"][0]
    assert sarif["properties"]["acceptedNotShown"] == hidden
    assert sum(one["kind"] == "fail" for one in sarif["results"]) == len(document["findings"])
    junit = ET.fromstring(call("check", good, "--format", "junit").out)
    assert junit.find("properties/property[@name='accepted-not-shown']").get("value") == str(hidden)  # type: ignore[union-attr]


def test_a_line_that_moves_stays_accepted_and_a_new_finding_is_shown(call: Call, good: Path) -> None:
    wordy(good)
    call("check", good, "--accept", "nurse")
    path = good / "procedures" / "right.yaml"
    path.write_text("# a comment on top\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    assert "line-too-long" not in codes(call, good)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('say: "Hang {bag}."', WORDY.replace("Cover {vent}", "Hang {bag}")), encoding="utf-8")
    assert codes(call, good).count("line-too-long") == 1


def test_what_breaks_a_rule_of_the_order_is_never_hidden(call: Call, bad: Path) -> None:
    shown = [one for one in codes(call, bad) if one == "sensor-zeroed-wet"]
    assert shown
    call("check", bad, "--accept", "nurse")
    assert "sensor-zeroed-wet" not in (bad / "accepted.yaml").read_text(encoding="utf-8")
    entry = "{rule: sensor-zeroed-wet, procedure: wrong, step: a1bc, on: 2026-11-25, by: nurse}"
    (bad / "accepted.yaml").write_text(f"accepted:\n  - {entry}\n", encoding="utf-8")
    found = codes(call, bad)
    assert [one for one in found if one == "sensor-zeroed-wet"] == shown
    assert "accepted-without-right" in found
    assert call("check", bad).code == 1


def test_an_entry_that_accepts_nothing_any_more_is_told_at_its_line_and_goes(call: Call, good: Path) -> None:
    entry = "{rule: line-too-long, procedure: right, step: e5fg, on: 2026-11-01, by: nurse}"
    (good / "accepted.yaml").write_text(f"accepted:\n  - {entry}\n", encoding="utf-8")
    found = json.loads(call("check", good, "--format", "json").out)["findings"]
    stale = next(one for one in found if one["rule"] == "accepted-finding-gone")
    assert (Path(stale["file"]).name, stale["line"]) == ("accepted.yaml", 2)
    call("check", good, "--accept", "nurse")
    assert "e5fg" not in (good / "accepted.yaml").read_text(encoding="utf-8")
    assert "accepted-finding-gone" not in codes(call, good)


def test_what_is_known_keeps_its_day_and_its_role(call: Call, good: Path) -> None:
    wordy(good)
    call("check", good, "--accept", "nurse", "--as-of", "2026-10-01")
    first = (good / "accepted.yaml").read_text(encoding="utf-8")
    call("check", good, "--accept", "nurse", "--as-of", "2026-11-01")
    assert (good / "accepted.yaml").read_text(encoding="utf-8") == first
    assert "on: 2026-10-01" in first


def test_a_role_or_a_key_that_is_not_there_is_refused(call: Call, good: Path) -> None:
    assert call("check", good, "--accept", "nobody").code == 2
    assert not (good / "accepted.yaml").exists()
    (good / "accepted.yaml").write_text("accepted:\n  - {rul: line-too-long, procedure: right}\n", encoding="utf-8")
    result = call("check", good)
    assert result.code == 2
    assert "accepted.yaml:2" in result.out
