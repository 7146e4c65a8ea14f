"""A rig is drawn while it is written; what is open, dangling or silent on it is told by name and at its place."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest

from stepwell.authoring.rig_picture import rig_picture
from stepwell.cli.main import main
from stepwell.cli.names import entries
from stepwell.report.rig_faults import FAULTS
from stepwell.report.rig_survey import survey
from stepwell.source.half_rig import read_half_rig

PROTOCOLS = Path(__file__).parent.parent.parent / "protocols"
RIGS = sorted((PROTOCOLS / "rigs").glob("*.yaml"))
BEDSIDE = (PROTOCOLS / "rigs/adult-bedside.yaml").read_text(encoding="utf-8")

MAIN = "  - [oxy-port, oxygenator, return-line, return-clamp, return-limb, return-end]\n"
CASES = {
    "nothing-fits-end": ("label: drainage end, fits: tubing-10", "label: drainage end, fits: tubing-12", "drain-end:"),
    "part-ends-blind": (MAIN, "  - [oxy-port, oxygenator]\n" + MAIN.replace("oxy-port, oxygenator, ", ""), "oxygenator:"),
    "rig-in-pieces": ("[return-line, recirc-clamp, recirc-line,", "[recirc-line,", "recirc-line:"),
    "height-missing": ("length: 0.4 m, height: 90 cm", "length: 0.4 m", "pump-line:"),
    "capacity-missing": ("bore: 9.5 mm, length: 0.4 m", "bore: 9.5 mm", "pump-line:"),
    "place-missing": (", place: white slide low on the prime line", "", "prime-clamp:"),
    "pump-not-driven": ("  pump: {kind: drive", "  pump2: {kind: backup, label: x}\n  # pump: {kind: drive", "pump-head:"),
    "tap-leads-nowhere": ("  - [pump-line, drain-tap, drain-cap, air]\n", "  - [pump-line, drain-tap]\n", "drain-tap:"),
    "sensor-clamps-not-told": (", before: [return-clamp], after: [drain-clamp]", "", "flow-sensor:"),
}


def half(text: str, folder: Path) -> Path:
    path = folder / "our-set.yaml"
    path.write_text(text, encoding="utf-8")
    return path


Run = Callable[..., tuple[int, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def call(*words: str) -> tuple[int, str]:
        code = main(list(words))
        told = capsys.readouterr()
        return code, told.out + told.err

    return call


@pytest.mark.parametrize("path", RIGS, ids=lambda path: path.stem)
def test_the_rigs_of_the_example_are_whole_and_nothing_is_open_on_them(path: Path) -> None:
    found = read_half_rig(path)
    assert found.whole
    assert found.rig is not None
    assert [(one.rule, one.message) for one in survey(found.rig)] == []


@pytest.mark.parametrize("name", sorted(CASES))
def test_what_is_missing_is_told_at_its_place(name: str, tmp_path: Path) -> None:
    old, new, at = CASES[name]
    assert BEDSIDE.count(old) == 1
    text = BEDSIDE.replace(old, new)
    if name == "tap-leads-nowhere":
        text = text.replace("  drain-cap: {kind: cap, label: cap of T1, trait: vented}\n", "")
        text = text.replace('    drain-cap: "off"\n', "")
    if name == "rig-in-pieces":
        text = text.replace("  recirc-clamp: {kind", "  # recirc-clamp: {kind").replace(
            "recirc-spike: {kind: end, label: recirculation spike, place: end of the recirculation line, fits: bag-spike",
            "recirc-spike: {kind: end, label: recirculation spike, place: end of the recirculation line, fits: lonely",
        )
    found = read_half_rig(half(text, tmp_path))
    assert found.rig is not None
    told = [one for one in survey(found.rig) if one.rule == name]
    assert told, [(one.rule, one.message) for one in survey(found.rig)]
    line = next(number for number, words in enumerate(text.split("\n"), 1) if words.startswith(f"  {at}"))
    assert line in {one.span.line for one in told if one.span}
    assert all(one.mend for one in told)


def test_a_rig_without_states_vents_or_a_main_path_is_told(tmp_path: Path) -> None:
    text = """rig: loop
title: A loop
version: "0.1.0"
parts:
  head: {kind: pump-head, label: pump head, volume: 30 mL, height: 80 cm}
  one: {kind: line, label: first line, bore: 9.5 mm, length: 1 m, height: 80 cm}
  other: {kind: line, label: other line, bore: 9.5 mm, length: 1 m, height: 80 cm}
chains:
  - [one, head, other]
  - [other, one]
"""
    found = read_half_rig(half(text, tmp_path))
    assert found.rig is not None
    told = {one.rule for one in survey(found.rig)}
    assert told == {"no-way-out-for-air", "pump-not-driven", "no-baseline", "no-main-path"}


def test_every_finding_of_a_rig_has_a_case_and_is_explained() -> None:
    tried = {*CASES, "no-way-out-for-air", "no-baseline", "no-main-path", "chain-not-drawn"}
    assert {fault.name for fault in FAULTS} == tried
    assert len({fault.code for fault in FAULTS}) == len(FAULTS)
    known = {name for entry in entries() for name in entry.names}
    assert all({fault.name, fault.code} <= known for fault in FAULTS)


def test_a_half_written_rig_is_drawn_as_far_as_it_can_be_read(tmp_path: Path, run: Run) -> None:
    text = BEDSIDE.replace("oxygenator: {kind: oxygenator,", "oxygenator: {kind: oxigenator,").split("baselines:")[0]
    path = half(text, tmp_path)
    code, said = run("rig", str(path), "--out", str(tmp_path / "out"))
    assert code == 2
    assert "Did you mean `oxygenator`" in " ".join(said.split())
    assert "No inspection sheet until it is whole" in " ".join(said.split())
    drawing = (tmp_path / "out/adult-bedside.svg").read_text(encoding="utf-8")
    words = "".join(ElementTree.fromstring(drawing).itertext())
    assert "Half written" in words
    assert "pump inlet" in words
    assert not (tmp_path / "out/adult-bedside-inspection.pdf").exists()


def test_a_whole_rig_is_drawn_told_as_chains_and_gets_its_inspection_sheet(tmp_path: Path, run: Run) -> None:
    code, said = run("rig", str(PROTOCOLS / "rigs/adult-va.yaml"), "--out", str(tmp_path / "out"))
    assert code == 0, said
    assert "(drain-end)" in said
    assert "[drain-clamp]" in said
    assert (tmp_path / "out/adult-va-inspection.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "out/adult-va.svg").is_file()


def test_what_is_no_rig_is_refused(tmp_path: Path, run: Run) -> None:
    assert run("rig", str(tmp_path / "nowhere.yaml"))[0] == 2
    assert run("rig", str(tmp_path))[0] == 2
    procedure = PROTOCOLS / "procedures/gas-lost.yaml"
    code, said = run("rig", str(procedure), "--out", str(tmp_path / "out"))
    assert code == 2
    assert "is a procedure" in said
    assert not (tmp_path / "out").exists()


def test_no_file_that_is_cut_anywhere_ever_raises(tmp_path: Path) -> None:
    rng = random.Random(7)
    drawn = 0
    for _ in range(25):
        lines = rng.choice(RIGS).read_text(encoding="utf-8").splitlines()
        if rng.random() < 0.4:
            lines = lines[: rng.randrange(4, len(lines))]
        for _ in range(rng.randrange(6)):
            del lines[rng.randrange(len(lines))]
        found = read_half_rig(half("\n".join(lines) + "\n", tmp_path))
        if found.rig is None:
            assert found.findings
            continue
        survey(found.rig)
        drawn += rig_picture(found.rig, whole=found.whole).svg is not None
    assert drawn >= 10
