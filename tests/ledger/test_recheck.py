"""An upgrade of the tool: what the new one says of the cards in force is told, and nothing is changed by it."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from datetime import date
from io import StringIO
from pathlib import Path

import pytest

from stepwell.cli import layers_compare
from stepwell.cli.main import main
from stepwell.diagnostics.severity import Severity
from stepwell.publish.recheck import verdict_changes
from stepwell.report.results import Orders, Status, Verdict
from stepwell.source import catalogue_files, workspace
from tests.ledger.test_committee import Say, agreed, founded, say, unit

__all__ = ["say", "unit"]

OTHER_RULE = """\
rule: forward-flow-at-all
code: SW199
title: Blood flows forward
severity: fatal
certainty: could
harm: None; this rule stands in a test.
control: None.
sources:
  - {text: A rule that every running circuit breaks, mark: common practice}
not-checked: Anything else.
never: {flow: forward}
message: Blood flows forward.
mend: Do not run the circuit.
"""


@pytest.fixture
def other_tool(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], Path]:
    """Makes the tool one that comes with other rules; the answer is their folder, a copy of the present ones."""
    real = workspace.package_dir

    def change() -> Path:
        folder = tmp_path / "rules-of-another-tool"
        shutil.copytree(real("rules/catalogue"), folder)
        for module in (workspace, catalogue_files):
            monkeypatch.setattr(module, "package_dir", lambda name: folder if name == "rules/catalogue" else real(name))
        catalogue_files.catalogue_files.cache_clear()
        return folder

    yield change
    monkeypatch.undo()
    catalogue_files.catalogue_files.cache_clear()


def told(answer: tuple[int, str]) -> tuple[int, str]:
    return answer[0], " ".join(answer[1].split())


def test_without_an_upgrade_every_verdict_is_as_it_was(say: Say) -> None:
    assert told(say("recheck"))[1].startswith("Cards in force, checked again with")
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    code, text = told(say("recheck"))
    assert code == 0, text
    assert "1 card: 1 with the same verdicts." in text
    assert re.search(r"gas-lost 1\.0\.0, in force since [-0-9]+: 1\d verdicts as they were\.", text)


def test_an_upgrade_that_finds_something_says_so_and_changes_nothing(
    say: Say, unit: Path, other_tool: Callable[[], Path]
) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    before = {path: path.read_bytes() for path in sorted((unit / "ledger").rglob("*")) if path.is_file()}
    folder = other_tool()
    (folder / "forward-flow-at-all.yaml").write_text(OTHER_RULE, encoding="utf-8")
    (folder / "air-sent-to-patient.yaml").unlink()
    code, text = told(say("recheck"))
    assert code == 1
    assert "1 card: 1 WORSE than at the release." in text
    assert "Blood flows forward (SW199, fatal): nothing to look at, or no such rule → VIOLATED" in text
    assert "! air-sent-to-patient: holds → nothing to look at any more, or no such rule" in text
    assert "New since: a rule that looks at it, the rules of the tool." in text
    assert "forward-flow-at-all: the whole rule, added" in text
    assert "WEAKER: a rule is taken away" in text
    assert {path: path.read_bytes() for path in sorted((unit / "ledger").rglob("*")) if path.is_file()} == before
    code, text = told(say("verify", next((unit / "ledger" / "cards").glob("*.pdf")).as_posix()))
    assert code == 0, "the card stays in force until somebody withdraws it"
    code, text = told(say("propose", "batch", "--why", "a new tool", key="lead"))
    assert code == 2
    assert "Not in the batch: gas-lost: changed: what the check says." in text


def test_a_card_is_checked_as_it_was_released_though_the_folder_has_moved_on(say: Say, unit: Path) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    path = unit / "procedures" / "gas-lost.yaml"
    text = path.read_text(encoding="utf-8").replace("do: {gas-on: gas}", "do: {gas-off: gas}")
    path.write_text(text.replace("say: Turn {gas} on at {start-sweep}.", "say: Turn {gas} off."), encoding="utf-8")
    assert told(say("recheck"))[0] == 0
    index = next((unit / "ledger" / "sources").glob("*.json"))
    names = json.loads(index.read_bytes())
    shelf = unit / "ledger" / "kept" / f"{names['procedures/gas-lost.yaml']}.json"
    good = shelf.read_bytes()
    shelf.write_bytes(good.replace(b"Open", b"Shut"))
    code, said = told(say("recheck"))
    assert (code, "CANNOT TELL. The folder holds something else by now" in said) == (3, True)
    code, said = told(say("verify"))
    assert code == 1
    assert "kept-record-altered" in said
    shelf.write_bytes(good)
    # Somebody lists other files, all of them kept under their right hashes: the hashes of the release are not met.
    names["procedures/gas-lost.yaml"] = names["procedures/line-apart.yaml"]
    index.write_text(json.dumps(names), encoding="utf-8")
    assert told(say("recheck"))[0] == 3


def test_the_comparison_of_two_versions_shows_the_upgrade_between_them(
    say: Say, unit: Path, other_tool: Callable[[], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    before = unit.parent / "before"
    shutil.copytree(unit, before)
    folder = other_tool()
    (folder / "air-sent-to-patient.yaml").unlink()
    mild = (folder / "joined-dry.yaml").read_text(encoding="utf-8")
    (folder / "joined-dry.yaml").write_text(re.sub("severity: .*", "severity: minor", mild), encoding="utf-8")
    code = main(["compare", str(before), str(unit), "--no-slips", "--as-of", "2026-11-25"])
    text = " ".join(capsys.readouterr().out.split())
    assert code == 1
    assert "Is anything weaker? YES" in text
    assert "rule air-sent-to-patient" in text
    assert "WEAKER: a rule is taken away" in text
    assert "rule joined-dry" in text
    assert "2 changes, 2 shown." in text, "of the tool nothing else is another"
    assert "Judged by different rules" in text


def test_another_layout_is_a_change_of_the_tool_and_lays_every_card_out_anew(
    say: Say, unit: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from tests.ledger.test_batch import layout_changes

    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    layout_changes(monkeypatch, "stepwell 9.9, typst 9.9")
    code = main(["compare", str(unit), str(unit), "--no-slips", "--as-of", "2026-11-25"])
    text = " ".join(capsys.readouterr().out.split())
    assert code == 0, text
    assert "Is anything weaker? No" in text or "Not as far as the model can tell" in text
    assert "the tool" in text
    assert "layout-file “card/card.typ”" in text
    assert "now stepwell 9.9, typst 9.9" in text
    assert "Every card: laid out anew by another tool or layout. Released PDFs stay as they are" in text


def test_rules_of_another_tool_can_be_named(tmp_path: Path, unit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "rules"
    shutil.copytree(workspace.package_dir("rules/catalogue"), folder)
    (folder / "forward-flow-at-all.yaml").write_text(OTHER_RULE, encoding="utf-8")
    found, tool, unread = layers_compare.load_old(
        layers_compare.Version(name="old", root=unit), _quiet(), date(2026, 11, 25), tmp_path, str(folder)
    )
    assert (tool, unread) == (None, ())
    assert found.workspace is not None
    assert "forward-flow-at-all" in {rule.name for rule in found.workspace.rules}
    assert main(["compare", str(unit), str(unit), "--old-rules", str(tmp_path / "nothing")]) == 2
    assert "There are no rules in" in capsys.readouterr().err


def _quiet() -> layers_compare.Console:
    from stepwell.cli.console import console_of

    return console_of(StringIO(), StringIO(), {})


def verdict(rule: str, status: Status) -> Verdict:
    return Verdict(
        procedure="p", rule=rule, code="SW1", title=rule, sentence="", severity=Severity.SERIOUS, status=status,
        orders=Orders(number=1, exact=True),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "worse"),
    [
        ("holds", Status.VIOLATED, True),
        ("holds", Status.NOT_DECIDED, True),
        ("holds", Status.NOT_APPLICABLE, True),
        ("not decided", Status.VIOLATED, True),
        ("not decided", Status.HOLDS, False),
        (None, Status.HOLDS, False),
        (None, Status.NOT_DECIDED, True),
        (None, Status.VIOLATED, True),
        ("violated, waived", Status.VIOLATED, True),
        ("violated, waived", Status.HOLDS, False),
    ],
)
def test_which_verdicts_are_worse(old: str | None, new: Status, worse: bool) -> None:
    same, changes = verdict_changes({"it": old} if old else {}, [verdict("it", new)])
    assert same == 0
    assert [one.worse for one in changes] == [worse]


def test_the_same_verdicts_are_counted() -> None:
    assert verdict_changes({"it": "holds"}, [verdict("it", Status.HOLDS)]) == (1, ())
    assert verdict_changes({}, [verdict("it", Status.NOT_APPLICABLE)]) == (0, ())
