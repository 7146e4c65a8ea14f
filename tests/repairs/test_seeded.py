"""Faults seeded into the example unit: mended by the tool, written, read again and checked again."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest

from stepwell.cli.main import main
from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Expectation, Hold, Item, Procedure, Step
from stepwell.model.workspace import Workspace
from stepwell.report.check import Options, check_procedure
from stepwell.report.results import ProcedureReport, Status
from stepwell.slips.find import find_slips
from stepwell.source.workspace import load_workspace
from tests.repairs.seeds import Seed, planted, seed, seeds


def marked(*, slip: bool) -> list[object]:
    """The faults of the table, the slow ones for the slow tests."""
    return [
        pytest.param(one, id=one.name, marks=[pytest.mark.nightly] if one.slow else [])
        for one in seeds()
        if one.slip is slip
    ]


def read(file: Path) -> tuple[Workspace, Procedure]:
    loaded = load_workspace(file.parent.parent)
    assert loaded.findings == ()
    assert loaded.workspace is not None
    return loaded.workspace, next(one for one in loaded.workspace.procedures if one.id == file.stem)


def report(workspace: Workspace, procedure: Procedure) -> ProcedureReport:
    return check_procedure(workspace, procedure, clock=time.monotonic, options=Options(bites=False))


def wrong(found: ProcedureReport) -> set[str]:
    bad = (Status.VIOLATED, Status.NOT_DECIDED)
    return {one.rule for one in found.verdicts if one.status in bad} | {one.rule for one in found.against}


def leaves(procedure: Procedure) -> dict[str, Step | Hold]:
    found: dict[str, Step | Hold] = {}

    def note(leaf: Step | Hold) -> Item:
        found[leaf.id] = leaf
        return leaf

    each_leaf(procedure.body, note)
    return found


def checks(leaf: Step | Hold) -> tuple[Expectation, ...]:
    return leaf.expect if isinstance(leaf, Step) else leaf.until


def nothing_weaker(before: Procedure, after: Procedure) -> None:
    """Every step and hold is still there, with all that it did, asked for and waited for."""
    old, new = leaves(before), leaves(after)
    for name, leaf in old.items():
        assert name in new
        assert checks(new[name])[: len(checks(leaf))] == checks(leaf)
        other = new[name]
        if isinstance(leaf, Step):
            assert isinstance(other, Step)
            assert (other.do, other.who, other.say, other.confirm) == (leaf.do, leaf.who, leaf.say, leaf.confirm)
            assert other.after[: len(leaf.after)] == leaf.after
            assert leaf.if_not in (None, other.if_not)
        else:
            assert isinstance(other, Hold)
            assert (other.agree, other.abort) == (leaf.agree, leaf.abort)
    assert (before.ends, before.starts, before.people) == (after.ends, after.starts, after.people)


def mended(one: Seed, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sound = planted(one, tmp_path / "clean", fault=False)
    clean = wrong(report(*read(sound))) if one.first else set()
    file = planted(one, tmp_path / "unit")
    text, (unit, before) = file.read_text(encoding="utf-8"), read(file)
    assert wrong(report(unit, before)) > clean, "the seed is a fault"

    assert main(["repair", str(file), "--no-cache", "--as-of", "2026-11-30", "--apply"]) == 0
    written = capsys.readouterr().out
    new, (unit, after) = file.read_text(encoding="utf-8"), read(file)
    assert wrong(report(unit, after)) <= clean
    nothing_weaker(before, after)
    only_as_shown(text, new, written)
    others = sorted(path for path in file.parent.parent.rglob("*.yaml") if path != file)
    same = [
        path
        for path in others
        if path.read_bytes() == (tmp_path / "clean" / path.relative_to(tmp_path / "unit")).read_bytes()
    ]
    assert same == others, "no other file changes, rules and waivers least of all"


def only_as_shown(old: str, new: str, shown: str) -> None:
    """Comments are kept, and every line that came or went was shown."""
    comments = [line.strip() for line in old.splitlines() if "#" in line]
    assert sorted(comments) == sorted(line.strip() for line in new.splitlines() if "#" in line)
    told = {line[4:] for line in shown.splitlines() if re.match(r"    [+-]", line)}
    gone = [line for line in old.splitlines() if line not in new.splitlines()]
    come = [line for line in new.splitlines() if line not in old.splitlines()]
    assert {f"-{line}" for line in gone} | {f"+{line}" for line in come} <= told


@pytest.mark.parametrize("one", marked(slip=False))
def test_a_seeded_fault_is_mended(one: Seed, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    mended(one, tmp_path, capsys)


@pytest.mark.parametrize("one", marked(slip=True))
def test_a_check_that_was_deleted_is_asked_for_again(one: Seed, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clean = silent(*read(planted(one, tmp_path / "clean", fault=False)))
    file = planted(one, tmp_path / "unit")
    text, (unit, before) = file.read_text(encoding="utf-8"), read(file)
    assert silent(unit, before) - clean, "the seed lets a slip pass"

    assert main(["repair", str(file), "--slips", "--no-cache", "--as-of", "2026-11-30", "--apply"]) == 0
    new, (unit, after) = file.read_text(encoding="utf-8"), read(file)
    assert silent(unit, after) <= clean
    assert not wrong(report(unit, after))
    nothing_weaker(before, after)
    only_as_shown(text, new, capsys.readouterr().out)


def silent(workspace: Workspace, procedure: Procedure) -> set[tuple[str, str]]:
    found = find_slips(workspace, procedure, clock=time.monotonic)
    assert found is not None
    return {(slip.step, slip.sort.value) for slip in found.slips if slip.fatal_silent}


def test_without_being_told_to_the_tool_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = planted(seed("gas-before-flow"), tmp_path / "unit")
    text = file.read_bytes()
    assert main(["repair", str(file), "--no-cache", "--as-of", "2026-11-30"]) == 1
    shown = " ".join(capsys.readouterr().out.split())
    assert "Repair: Move step 12, “Turn sweep gas on at 3 L/min.” (k7ld) to directly behind step 13" in shown
    assert "Nothing was written. With --apply" in shown
    assert file.read_bytes() == text
