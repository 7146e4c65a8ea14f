"""The page keeps up with the files: findings beside their steps, the last good view, and how soon."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

from tests.authoring.preview.conftest import Caller


def rows(found: Any) -> list[Any]:
    def inner(some: list[Any]) -> list[Any]:
        return [row for one in some for row in (one, *inner(one["rows"]))]

    return inner(found["rows"])


def row(found: Any, name: str) -> Any:
    return next(one for one in rows(found) if one["id"] == name)


def test_a_finding_stands_at_its_step_with_its_mend(bench: Caller) -> None:
    found = bench.view("wrong")
    wet = next(one for one in found["findings"] if one["rule"] == "built-in-sensor-zeroed-wet")
    assert wet["at"] == row(found, "a1bc")["path"]
    assert wet["message"] == "The line sensor is zeroed when the set at its place may already hold liquid."
    assert wet["mend"].startswith("Zero the line sensor before")
    assert [line["sign"] for line in wet["trace"]["lines"]][-1] == "spring"
    assert bench.get(f"drawn/wrong/1/{wet['moment']}").body.startswith(b"<svg")
    assert found["verdicts"][0]["state"] == "bad"
    assert found["fresh"]


def test_the_circuit_is_drawn_at_each_step(bench: Caller) -> None:
    found = bench.view("right")
    filled = row(found, "c3de")
    assert filled["changes"]
    before = bench.get(f"drawn/right/1/{row(found, 'b2cd')['drawn']}")
    after = bench.get(f"drawn/right/1/{filled['drawn']}")
    assert after.headers["content-type"] == "image/svg+xml"
    assert before.body != after.body
    late = bench.get(f"drawn/right/{found['shown'] + 1}/{filled['drawn']}")
    assert (late.status, late.body) == (204, b""), "a drawing of another check than the one that is shown is none"


def test_a_save_is_taken_up_whoever_made_it(bench: Caller) -> None:
    assert bench.view("right")["fresh"]
    path = bench.root / "procedures/right.yaml"
    path.write_text(path.read_text().replace("do: {zero: sensor}", "do: {open: vent}"), encoding="utf-8")
    until = time.monotonic() + 10
    while "open" not in str(row(found := bench.view("right"), "a1bc")["values"]["do"]) or not found["fresh"]:
        assert time.monotonic() < until
        time.sleep(0.02)
    assert {one["at"] for one in found["findings"]} >= {row(found, "a1bc")["path"]}


def test_a_text_that_does_not_parse_keeps_the_last_verdict_and_shows_the_place(bench: Caller) -> None:
    before = bench.view("right")
    path = bench.root / "procedures/right.yaml"
    path.write_text(path.read_text().replace('say: "Hang {bag}."', "say: {bag} is hung."), encoding="utf-8")
    until = time.monotonic() + 10
    while (found := bench.view("right"))["readable"] or found["checking"]:
        assert time.monotonic() < until
        time.sleep(0.02)
    first = found["findings"][0]
    line = next(n for n, text in enumerate(path.read_text().splitlines(), 1) if "b2cd" in text)
    assert (first["line"], first["unusable"]) == (line, True)
    assert first["column"] > 1
    assert "in quotes" in first["mend"]
    assert found["verdicts"] == before["verdicts"]
    assert not found["fresh"]


def test_a_fault_of_the_text_stands_at_its_step_and_the_verdict_is_called_old(bench: Caller) -> None:
    bench.view("right")
    path = bench.root / "procedures/right.yaml"
    path.write_text(path.read_text().replace("do: {open: prime-clamp}", "do: {open: prime-clmp}"), encoding="utf-8")
    until = time.monotonic() + 10
    while (found := bench.view("right"))["fresh"]:
        assert time.monotonic() < until
    assert [one["at"] for one in found["findings"] if not one["old"]] == [row(found, "c3de")["path"]]
    assert "prime-clamp" in found["findings"][0]["mend"]
    assert not found["fresh"]


def test_from_a_save_to_the_new_verdict_of_an_emergency_card(demo: Caller, record_property: Any) -> None:
    assert demo.view("gas-lost")["verdicts"][0]["state"] == "clear"
    path = demo.root / "procedures/gas-lost.yaml"
    text = path.read_text(encoding="utf-8")
    began = time.monotonic()
    path.write_text(text.replace("        do: {gas-on: gas, ensure: true}\n", ""), encoding="utf-8")
    while not (found := demo.get("view/gas-lost").json)["fresh"] or found["verdicts"][0]["state"] == "clear":
        assert time.monotonic() - began < 20
        time.sleep(0.01)
    record_property("seconds", time.monotonic() - began)
    assert found["verdicts"][0]["state"] == "bad"


def test_the_list_of_procedures_names_every_file(demo: Caller) -> None:
    named = demo.get("unit").json["procedures"]
    assert [one["name"] for one in named] == sorted(path.stem for path in Path(demo.root, "procedures").glob("*.yaml"))
    assert all(one["usable"] for one in named)


def test_a_rule_that_cannot_be_read_leaves_no_full_check(demo: Caller) -> None:
    assert not demo.view("gas-lost")["partial"]
    rules = demo.root / "rules"
    rules.mkdir(exist_ok=True)
    (rules / "own.yaml").write_text("rule: own\ncode: U001\nnever: {open: nothing-there\n", encoding="utf-8")
    until = time.monotonic() + 20
    while not (found := demo.view("gas-lost"))["partial"]:
        assert time.monotonic() < until
        time.sleep(0.02)
    assert "own.yaml" in str(next(one for one in found["findings"] if one["unusable"])["file"])
