"""What ``new`` writes loads, prints and says that nothing was checked; nothing that is there is overwritten."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepwell.authoring import starter_rule
from stepwell.authoring.ids import mint
from stepwell.authoring.yaml_text import scalar
from stepwell.cli.main import main
from stepwell.source.nodes import plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from stepwell.source.read_rule import read_rule
from stepwell.source.scope import Scope
from stepwell.source.vocabulary import built_in
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


@pytest.mark.parametrize("shape", ["at-the-end", "never", "before-doing"])
def test_a_rule_of_every_shape_and_kind_loads(shape: str) -> None:
    tried = 0
    for kind, _ in starter_rule.kinds():
        verbs = [name for name, _ in starter_rule.verbs_of(kind)] if shape == "before-doing" else [""]
        for verb in verbs:
            for fact, _ in starter_rule.facts_of(kind):
                new = starter_rule.NewRule(
                    name="our-rule",
                    code="U001",
                    title="x",
                    shape=shape,
                    kind=kind,
                    fact=fact,
                    verb=verb,
                    harm="x",
                    control="x",
                )
                notes = Notes("x")
                node = parse(starter_rule.rule_text(new).encode(), notes)
                assert node is not None
                rule = read_rule(node, Scope(notes=notes, vocabulary=built_in(), numbers={}, roles=()), built_in=False)
                assert notes.findings == []
                assert rule is not None
                tried += 1
    assert tried > 50


def test_a_rule_by_flags_does_what_was_asked(say: Say) -> None:
    made(say)
    words = ("--title", "Zeroed unplugged", "--shape", "before-doing", "--kind", "pressure-sensor", "--verb", "zero")
    code, told = say("new", "rule", "zeroed-unplugged", *words, "--fact", "plugged", "--severity", "fatal", "--unit", "mine")
    assert code == 0, told
    loaded = load_workspace(Path("mine"))
    assert loaded.findings == ()
    assert loaded.workspace is not None
    rule = next(rule for rule in loaded.workspace.rules if rule.name == "zeroed-unplugged")
    assert rule.severity.word == "fatal"
    code, told = say("new", "rule", "another", "--title", "x", "--kind", "pressure-sensr", "--unit", "mine")
    assert code == 2
    assert "Did you mean `pressure-sensor`?" in told


@pytest.mark.skipif(sys.platform == "win32", reason="there is no pseudo-terminal")
def test_somebody_who_types_is_asked_again_after_a_wrong_answer(say: Say) -> None:
    made(say)
    answers = (
        "Cool the patient down",
        "rutine",
        "1",
        "adult-vv",
        "specialist, physcian",
        "1,4",
        "",
        "When planned.",
        "",
        "Never.",
    )
    told = typed(("new", "procedure", "cool-down", "--unit", "mine"), answers)
    assert "Did you mean `routine`?" in told
    assert "Did you mean `physician`?" in told
    loaded = load_workspace(Path("mine"))
    assert loaded.findings == ()
    assert loaded.workspace is not None
    procedure = loaded.workspace.procedures[0]
    assert procedure.people == ("specialist", "physician")
    assert procedure.use.value == "call-and-reply"


def typed(words: tuple[str, ...], answers: tuple[str, ...]) -> str:
    """What a terminal shows to somebody who answers each question as it comes."""
    import os
    import pty
    import select

    child, end = pty.fork()
    if child == 0:
        os.execve(sys.executable, [sys.executable, "-m", "stepwell", *words], {**os.environ, "TERM": "xterm"})
    shown, left = b"", list(answers)
    while True:
        ready, _, _ = select.select([end], [], [], 0.2)
        if ready:
            try:
                piece = os.read(end, 65536)
            except OSError:
                break
            if not piece:
                break
            shown += piece
        elif left and shown.rstrip(b" ").endswith((b"?", b".", b"]")):
            os.write(end, f"{left.pop(0)}\n".encode())
    os.waitpid(child, 0)
    assert not left, shown.decode(errors="replace")
    return " ".join(shown.decode(errors="replace").split())


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
