"""A procedure for several rigs is one procedure for each, with verdicts and a card of its own."""

from __future__ import annotations

import shutil
import time
from dataclasses import replace
from pathlib import Path

import pytest

from stepwell.cli.locate import Where
from stepwell.cli.select import chosen_procedures
from stepwell.model.procedure import Choose, Procedure, steps_of
from stepwell.model.workspace import Workspace
from stepwell.report.check import Options, check_procedure
from stepwell.report.results import Status
from stepwell.source.workspace import Loaded, load_workspace
from tests.source.bench import HERE, told

BOTH = "rig: [adult-bedside, adult-fluid]"
ZERO = "do: {zero: [drain-pressure, pre-pressure, post-pressure]}"
CARD = """\
procedure: %s
title: %s
version: "1.0.0"
kind: emergency
rig: %s
use: read-and-do
people: [primer]
body:
  - choose: Is the set primed?
    id: q1aa
    who: primer
    outcomes: [{label: "no", card: %s}, {label: "yes", end: true}]
"""


def unit(tmp_path: Path, *changes: tuple[str, str], rig: str = BOTH) -> Path:
    """The long priming procedure for two rigs, of which the second has fluid-line sensors."""
    root = tmp_path / "unit"
    shutil.copytree(HERE / "long", root)
    first = (root / "rigs/adult-bedside.yaml").read_text()
    second = first.replace("rig: adult-bedside", "rig: adult-fluid").replace("built-in sensors", "line sensors")
    (root / "rigs/adult-fluid.yaml").write_text(second.replace("trait: built-in", "trait: fluid-line"))
    path = root / "procedures/prime-adult.yaml"
    text = path.read_text().replace("rig: adult-bedside", rig)
    for old, new in changes:
        assert text.count(old) == 1
        text = text.replace(old, new)
    path.write_text(text)
    return root


def good(loaded: Loaded) -> Workspace:
    assert told(loaded.findings) == []
    assert loaded.workspace is not None
    return loaded.workspace


def by_id(workspace: Workspace) -> dict[str, Procedure]:
    return {procedure.id: procedure for procedure in workspace.procedures}


def statuses(workspace: Workspace, procedure: Procedure) -> dict[str, Status]:
    report = check_procedure(workspace, procedure, clock=time.monotonic, options=Options(bites=False))
    return {verdict.rule: verdict.status for verdict in report.verdicts}


def test_each_rig_has_what_a_file_for_it_alone_has(tmp_path: Path) -> None:
    both = good(load_workspace(unit(tmp_path)))
    assert list(by_id(both)) == ["prime-adult-on-adult-bedside", "prime-adult-on-adult-fluid"]
    for name in ("adult-bedside", "adult-fluid"):
        here = by_id(both)[f"prime-adult-on-{name}"]
        alone = good(load_workspace(unit(tmp_path / name, rig=f"rig: {name}")))
        (single,) = alone.procedures
        assert single.id == "prime-adult"
        assert replace(here, id=single.id, title=single.title, path=single.path) == single
        assert statuses(both, here) == statuses(alone, single)
        assert here.title.startswith(single.title)


def test_the_verdicts_are_those_of_each_rig(tmp_path: Path) -> None:
    """Zeroing dry is right for built-in sensors only."""
    both = good(load_workspace(unit(tmp_path)))
    built_in, fluid = (statuses(both, procedure) for procedure in both.procedures)
    assert built_in["fluid-line-sensor-zeroed-unvented"] is not Status.VIOLATED
    assert fluid["fluid-line-sensor-zeroed-unvented"] is Status.VIOLATED


def test_if_rig_differs_from_rig_to_rig(tmp_path: Path) -> None:
    item = """  - if-rig: {kind: pressure-sensor, trait: fluid-line}
    steps: [{id: w1aa, who: primer, say: Fill the domes.}]
  - stage: Connect the bag
"""
    both = good(load_workspace(unit(tmp_path, ("  - stage: Connect the bag\n", item))))
    there = ["w1aa" in {step.id for step in steps_of(procedure.body)} for procedure in both.procedures]
    assert there == [False, True]


def test_what_is_wrong_with_one_rig_is_told_with_its_name(tmp_path: Path) -> None:
    root = unit(tmp_path, (ZERO, "do: {zero: {all: pressure-sensors, trait: built-in}}"))
    loaded = load_workspace(root)
    (finding,) = loaded.findings
    assert finding.rule == "empty-selection"
    assert finding.message.startswith("With the rig `adult-fluid`: ")
    assert loaded.failed == ("prime-adult",)


def test_what_is_wrong_with_every_rig_is_told_once(tmp_path: Path) -> None:
    loaded = load_workspace(unit(tmp_path, (ZERO, "do: {zero: dran-pressure}")))
    assert [finding.rule for finding in loaded.findings] == ["unknown-part"]
    assert "With the rig" not in loaded.findings[0].message
    once = load_workspace(unit(tmp_path / "two", (ZERO, "doo: {zero: drain-pressure}")))
    assert [finding.rule for finding in once.findings] == ["unknown-key"]


def test_a_card_leads_to_the_procedure_for_its_own_rig(tmp_path: Path) -> None:
    root = unit(tmp_path)
    (root / "procedures/look.yaml").write_text(CARD % ("look", "Look", "adult-fluid", "prime-adult"))
    ask = by_id(good(load_workspace(root)))["look"].body[0]
    assert isinstance(ask, Choose)
    assert ask.outcomes[0].card == "prime-adult-on-adult-fluid"
    path = root / "procedures/look.yaml"
    path.write_text(CARD % ("look", "Look", BOTH[5:], "prime-adult-on-adult-bedside"))
    assert set(by_id(good(load_workspace(root)))) >= {"look-on-adult-bedside", "look-on-adult-fluid"}


def test_a_card_for_a_rig_that_it_is_not_for_leads_nowhere(tmp_path: Path) -> None:
    root = unit(tmp_path)
    other = (root / "rigs/adult-bedside.yaml").read_text().replace("rig: adult-bedside", "rig: third")
    (root / "rigs/third.yaml").write_text(other)
    (root / "procedures/look.yaml").write_text(CARD % ("look", "Look", "third", "prime-adult"))
    (finding,) = load_workspace(root).findings
    assert finding.rule == "unknown-procedure"
    assert "`adult-bedside` and `adult-fluid`" in finding.message
    assert "prime-adult-on-adult-bedside" in finding.mend


@pytest.mark.parametrize(
    ("rig", "rule", "words"),
    [
        ("rig: [adult-bedside, adult-fluid, adult-bedside]", "duplicate-name", "listed twice"),
        ("rig: []", "empty-value", "nothing in it"),
        ("rig: [adult-bedside, {a: b}]", "wrong-type", "ids of rigs"),
        ("rig: [adult-bedside, adult-fluyd]", "unknown-rig", "With the rig `adult-fluyd`: There is no rig"),
        ("rig: [" + ", ".join(f"a{n}" for n in range(11)) + "]", "out-of-range", "10 at most"),
    ],
)
def test_a_list_that_can_not_be_is_told(tmp_path: Path, rig: str, rule: str, words: str) -> None:
    loaded = load_workspace(unit(tmp_path, rig=rig))
    assert loaded.workspace is not None
    assert loaded.workspace.procedures == ()
    finding = next(finding for finding in loaded.findings if finding.rule == rule)
    assert words in finding.message
    assert finding.mend
    assert finding.span is not None
    assert finding.span.line == 6


def test_a_list_of_one_rig_is_that_rig(tmp_path: Path) -> None:
    assert list(by_id(good(load_workspace(unit(tmp_path, rig="rig: [adult-bedside]"))))) == ["prime-adult"]


def test_naming_the_file_names_the_procedure_for_each_rig(tmp_path: Path) -> None:
    root = unit(tmp_path)
    loaded = load_workspace(root)
    where = Where(root=root.resolve(), files=frozenset({(root / "procedures/prime-adult.yaml").resolve()}))
    assert chosen_procedures(where, loaded) == ("prime-adult-on-adult-bedside", "prime-adult-on-adult-fluid")
