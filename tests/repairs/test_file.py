"""Changes written into files of many layouts: what is not about the change stays to the byte."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from stepwell.authoring.repair_file import NotWritableError, applied, edits_for
from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import Action, Condition, Otherwise, PartName, Step, Text
from stepwell.repairs.changes import AddCheck, AddOrder, AddStep, AddToHold, Change, MoveStep, all_changed
from stepwell.source.workspace import load_workspace
from tests.cli.unit import FILES, write_unit

OTHERWISE = Otherwise(words=(Text("Stop."),))
VENT = Condition(predicate=Fact("open", (Ref("vent"),)))
HEAD, BODY = FILES["procedures/right.yaml"].split("body:\n")
LONG = """\
body:
  # What is done dry.
  - stage: Dry
    steps:
      # Nothing is wet yet.
      - id: a1bc   # the first
        who: nurse
        say: "Zero {sensor}."
        do: {zero: sensor}
        expect: {open: vent}   # seen from the side
        if-not: Stop.
  - hold: Dry is done
    id: h1ld
    until:
      - {open: vent}
    agree: [nurse]
    abort: Stop.
  - lanes: Wet it
    of:
      - lane: nurse
        steps:
          - id: b2cd
            who: nurse
            say: "Hang {bag}."
            do: {hang: bag}
      - lane: helper
        steps:
          - {id: c3de, who: helper, say: "Open {prime-clamp}.", do: {open: prime-clamp}}
          - id: w9xy
            who: helper
            say: Wait 60 s.
            do: {wait: 60 s}
            after:
              - c3de
  - stage: Close
    steps:
      # The clamp first.
      - id: d4ef
        who: nurse
        say: "Shut {prime-clamp}."
        do: {shut: prime-clamp}
        # It clicks.
      - id: e5fg
        who: nurse
        say: "Cover {vent}."
        do: {shut: vent}
        why: |
          Air comes in
          where it stays open.
"""


def unit(tmp_path: Path, body: str = LONG, end: str = "\n") -> Path:
    root = write_unit(tmp_path / "unit")
    helper = "  helper: {label: Helper, mark: H}\n"
    (root / "unit.yaml").write_text(FILES["unit.yaml"] + helper, encoding="utf-8")
    file = root / "procedures" / "right.yaml"
    text = HEAD.replace("people: [nurse]", "people: [nurse, helper]") + body
    file.write_bytes(text.replace("\n", end).encode())
    return file


def written(file: Path, *changes: Change) -> tuple[str, str]:
    """The text before, and after the edits; that it reads back as the changed procedure is checked by ``edits_for``."""
    root = file.parent.parent
    loaded = load_workspace(root)
    assert loaded.findings == ()
    assert loaded.workspace is not None
    card = next(one for one in loaded.workspace.procedures if one.id == "right")
    wanted = replace(card, body=all_changed(card.body, changes))
    text = file.read_bytes().decode()
    return text, applied(text, edits_for(root, file, wanted, changes, {}))


def new_step(step_id: str = "n3ew") -> Step:
    shut = (Action(verb="shut", parts=("prime-clamp",)),)
    return Step(id=step_id, who="nurse", say=(Text("Shut "), PartName("prime-clamp"), Text(".")), do=shut)


def test_a_step_goes_before_the_comment_of_the_one_behind_it(tmp_path: Path) -> None:
    old, new = written(unit(tmp_path), AddStep(step=new_step(), anchor="d4ef", before=True))
    added = """\
      - id: n3ew
        who: nurse
        say: Shut {prime-clamp}.
        do: {shut: prime-clamp}
"""
    assert new == old.replace("      # The clamp first.\n", added + "      # The clamp first.\n")


def test_a_step_goes_behind_the_last_line_of_the_one_before_it(tmp_path: Path) -> None:
    old, new = written(unit(tmp_path), AddStep(step=new_step(), anchor="e5fg", before=False))
    assert new.startswith(old)
    assert new.removeprefix(old).splitlines()[0] == "      - id: n3ew"


def test_a_step_moves_with_its_comments_and_an_emptied_stage_goes(tmp_path: Path) -> None:
    old, new = written(unit(tmp_path), MoveStep(step="a1bc", anchor="d4ef", before=False))
    assert "stage: Dry" not in new
    block = old[old.index("      # Nothing is wet yet.") : old.index("  - hold: Dry")]
    assert new.count(block) == 1
    assert new.index("# It clicks.") < new.index(block) < new.index("e5fg")


def test_a_step_that_moves_to_another_depth_is_put_in_as_far(tmp_path: Path) -> None:
    _, new = written(unit(tmp_path), MoveStep(step="e5fg", anchor="h1ld", before=False))
    assert '  - id: e5fg\n    who: nurse\n    say: "Cover {vent}."\n' in new
    assert "    why: |\n      Air comes in\n      where it stays open.\n" in new


def test_an_order_is_a_line_of_its_own_or_one_more_of_a_list(tmp_path: Path) -> None:
    old, new = written(unit(tmp_path), AddOrder(step="b2cd", other="w9xy"))
    assert new == old.replace("do: {hang: bag}\n", "do: {hang: bag}\n            after: [w9xy]\n")
    _, again = written(unit(tmp_path / "2"), AddOrder(step="w9xy", other="b2cd"))
    assert "              - c3de\n              - b2cd\n" in again


def test_a_check_joins_what_is_expected_and_keeps_the_remark_behind_it(tmp_path: Path) -> None:
    _, new = written(unit(tmp_path), AddCheck(step="a1bc", condition=VENT, otherwise=OTHERWISE))
    assert "        expect: [{open: vent}, {open: vent}]   # seen from the side\n        if-not: Stop.\n" in new
    old, fresh = written(unit(tmp_path / "2"), AddCheck(step="d4ef", condition=VENT, otherwise=OTHERWISE))
    head = "        do: {shut: prime-clamp}\n"
    assert fresh == old.replace(head, head + "        expect: {open: vent}\n        if-not: Stop.\n")


def test_a_hold_waits_for_one_more(tmp_path: Path) -> None:
    old, new = written(unit(tmp_path), AddToHold(hold="h1ld", condition=VENT))
    assert new == old.replace("      - {open: vent}\n", "      - {open: vent}\n      - {open: vent}\n")


def test_line_ends_stay_what_they_are(tmp_path: Path) -> None:
    old, new = written(unit(tmp_path, end="\r\n"), AddStep(step=new_step(), anchor="d4ef", before=True))
    assert new.count("\n") == new.count("\r\n") == old.count("\r\n") + 4


def test_a_file_without_a_last_line_end_gets_one_only_if_something_follows(tmp_path: Path) -> None:
    file = unit(tmp_path, LONG[: LONG.index("        why: |")].rstrip("\n"))
    _, new = written(file, AddStep(step=new_step(), anchor="e5fg", before=False))
    assert new.endswith("        do: {shut: prime-clamp}\n")


def test_what_can_not_be_written_is_refused_and_not_guessed(tmp_path: Path) -> None:
    with pytest.raises(NotWritableError, match="braces on one line"):
        written(unit(tmp_path), AddOrder(step="c3de", other="b2cd"))
    flow = "body: [{id: a1bc, who: nurse, say: Look., expect: {open: vent}, if-not: Stop.}]\n"
    with pytest.raises(NotWritableError, match="does not stand in the file as an item of its own"):
        written(unit(tmp_path / "2", flow), AddStep(step=new_step(), anchor="a1bc", before=True))
