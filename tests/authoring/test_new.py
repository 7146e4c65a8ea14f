"""What ``new`` writes loads, prints and says that nothing was checked; nothing that is there is overwritten."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepwell.authoring.ids import mint
from stepwell.authoring.yaml_text import scalar
from stepwell.cli.main import main
from stepwell.source.nodes import plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from stepwell.source.workspace import load_workspace

Say = Callable[..., tuple[int, str]]


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Say:
    monkeypatch.chdir(tmp_path)

    def run(*words: str) -> tuple[int, str]:
        code = main(list(words))
        told = capsys.readouterr()
        return code, " ".join((told.out + told.err).split())

    return run


def made(say: Say) -> Path:
    code, told = say("new", "unit", "mine", "--name", "North: the #1 unit", "--region", "eu")
    assert code == 0, told
    return Path("mine")


PROCEDURE = (
    "--title", "Prime: the set", "--kind", "routine", "--rig", "adult-bedside", "--people", "primer, assistant",
    "--use-when", "A set is needed.", "--do-not-use-when", "The set is wet.", "--unit", "mine",
)  # fmt: skip


def test_a_new_unit_loads_without_a_word(say: Say) -> None:
    loaded = load_workspace(made(say))
    assert loaded.findings == ()
    assert loaded.workspace is not None
    assert loaded.workspace.unit.name == "North: the #1 unit"
    assert {rig.version for rig in loaded.workspace.rigs} == {"0.1.0"}
    assert all(rig.inspected is None for rig in loaded.workspace.rigs), "nobody has inspected the sets of a new unit"


def test_a_new_procedure_is_wording_only_and_the_check_does_not_call_it_safe(say: Say) -> None:
    made(say)
    code, told = say("new", "procedure", "prime", *PROCEDURE)
    assert code == 0, told
    code, told = say("check", "mine")
    assert code == 0, told
    assert "NOT CHECKED" in told
    assert "No unsafe order" not in told
    assert "Nothing was checked." in told


def test_a_new_procedure_prints_at_once(say: Say) -> None:
    made(say)
    say("new", "procedure", "prime", *PROCEDURE)
    assert say("cards", "mine", "--out", "out")[0] == 0
    assert Path("out/prime.pdf").read_bytes().startswith(b"%PDF")


def test_a_new_set_and_a_new_rule_load(say: Say) -> None:
    made(say)
    assert say("new", "rig", "our-set", "--from", "adult-va", "--title", "Ours", "--unit", "mine")[0] == 0
    assert say("new", "rule", "vent-forgotten", "--title", "A vent is forgotten", "--unit", "mine")[0] == 0
    assert say("new", "rule", "vent-forgotten-2", "--title", "Again", "--unit", "mine")[0] == 0
    loaded = load_workspace(Path("mine"))
    assert loaded.findings == ()
    assert loaded.workspace is not None
    assert {rule.code for rule in loaded.workspace.rules if rule.code.startswith("U")} == {"U001", "U002"}
    ours = next(rig for rig in loaded.workspace.rigs if rig.id == "our-set")
    theirs = next(rig for rig in loaded.workspace.rigs if rig.id == "adult-va")
    assert [part.id for part in ours.parts] == [part.id for part in theirs.parts]


def test_the_example_is_clean(say: Say) -> None:
    assert say("new", "unit", "demo", "--name", "x", "--region", "eu", "--example")[0] == 0
    assert load_workspace(Path("demo")).findings == ()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("unit", "mine", "--name", "x", "--region", "eu"), "is there already, and not empty"),
        (("procedure", "Prime Adult", *PROCEDURE), "such as prime-adult"),
        (("procedure", "p", "--unit", "mine"), "Add --people"),
        (("rig", "r", "--from", "adult-vb", "--title", "x", "--unit", "mine"), "Did you mean"),
        (("rule", "vent-left-open", "--title", "x", "--unit", "mine"), "already"),
        (("procedure", "p", "--unit", "nowhere"), "There is no file or folder nowhere"),
    ],
)
def test_what_can_not_be_made_is_told_and_nothing_is_written(say: Say, words: tuple[str, ...], told: str) -> None:
    made(say)
    before = sorted(path for path in Path("mine").rglob("*"))
    code, answer = say("new", *words)
    assert code == 2
    assert told in answer
    assert sorted(path for path in Path("mine").rglob("*")) == before


def test_nothing_that_is_there_is_overwritten(say: Say) -> None:
    made(say)
    say("new", "procedure", "prime", *PROCEDURE)
    path = Path("mine/procedures/prime.yaml")
    path.write_text("mine")
    assert say("new", "procedure", "prime", *PROCEDURE)[0] == 2
    assert path.read_text() == "mine"


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc", "Cf", "Zl", "Zp"]), min_size=1))
def test_a_text_reads_back_as_it_was(text: str) -> None:
    notes = Notes("x")
    node = parse(f"a: {scalar(text)}\n".encode(), notes)
    assert node is not None
    if notes.findings:
        # Only a character that no file may hold is refused.
        assert {finding.rule for finding in notes.findings} <= {"forbidden-character"}
        return
    assert plain_value(node) == {"a": text}


def test_ids_are_minted_without_repeating_and_without_signs_that_are_taken_for_each_other() -> None:
    used: set[str] = set()
    for _ in range(2_000):
        used.add(mint(used))
    assert len(used) == 2_000
    assert not set("".join(used)) & set("ilou01")
