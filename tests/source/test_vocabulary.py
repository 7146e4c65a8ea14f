"""The words come from entries: a kind, a verb and a fact that the tool has never heard of work at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from stepwell.circuit.entry import ArgSpec, Arity, FactEntry, Family, FigureSpec, OptionSpec, PartKind, Verb
from stepwell.model.procedure import steps_of
from stepwell.model.tri import Tri
from stepwell.source.schemas import procedure_schema, rig_schema
from stepwell.source.vocabulary import Vocabulary, built_in, state_words
from stepwell.source.workspace import load_workspace
from tests.source.bench import CATALOGUE, PLACES, copied, told

LAMP = PartKind(
    name="lamp",
    family=Family.EQUIPMENT,
    summary="A lamp.",
    figures=(FigureSpec(name="reach", dimension="length", summary="how far it shines"),),
    states=(("dark", "off"), ("lit", "on")),
)
LIGHT = Verb(
    name="light",
    summary="Light a lamp.",
    words=("light",),
    does="lights {0}",
    pairs=(("lamp",),),
    arity=Arity.EACH,
    effect=lambda bench, action: None,
    options=(OptionSpec(name="how", takes="word", choices=("bright", "dim"), summary="how bright", required=True),),
)
SHINES = FactEntry(
    name="shines",
    summary="The lamp is lit.",
    args=(ArgSpec(name="lamp", kinds=("lamp",)),),
    yes="{0} shines",
    no="{0} is dark",
    observed=("eye",),
    evaluate=lambda view, args: Tri.YES,
)
WORDS = built_in()
MORE: Vocabulary = replace(
    WORDS,
    part_kinds=(*WORDS.part_kinds, LAMP),
    verbs=(*WORDS.verbs, LIGHT),
    facts=(*WORDS.facts, SHINES),
)


def written(tmp: Path, do: str) -> Path:
    root = copied(tmp)
    rig = root / PLACES["rigs"]
    rig.write_text(rig.read_text().replace("  pump: {", "  lamp: {kind: lamp, label: lamp, reach: 3 m}\n  pump: {"))
    procedure = root / PLACES["procedures"]
    text = (
        procedure.read_text().replace("do: {open: prime-clamp}", f"do: {do}").replace("vent: open", "vent: open, lamp: dark")
    )
    procedure.write_text(text.replace("expect: {open: prime-clamp}", "expect: {shines: lamp}"))
    return root


def test_stand_in_entries_are_read(tmp_path: Path) -> None:
    loaded = load_workspace(written(tmp_path, "{light: lamp, how: dim}"), catalogue=CATALOGUE, vocabulary=MORE)
    assert told(loaded.findings) == []
    assert loaded.workspace is not None
    action = steps_of(loaded.workspace.procedures[0].body)[0].do[0]
    assert (action.verb, action.parts, action.options) == ("light", ("lamp",), (("how", "dim"),))


def test_without_the_entries_they_are_unknown(tmp_path: Path) -> None:
    loaded = load_workspace(written(tmp_path, "{light: lamp, how: dim}"), catalogue=CATALOGUE)
    assert sorted(finding.rule for finding in loaded.findings) == ["unknown-fact", "unknown-kind", "unknown-verb"]


def test_the_options_of_an_entry_are_checked(tmp_path: Path) -> None:
    loaded = load_workspace(written(tmp_path, "{light: lamp, how: dimm}"), catalogue=CATALOGUE, vocabulary=MORE)
    assert [(finding.rule, finding.mend) for finding in loaded.findings] == [("unknown-word", "Did you mean `dim`?")]


def test_schemas_have_the_words_of_the_entries() -> None:
    assert "light" in procedure_schema(MORE)["definitions"]["action"]["properties"]
    assert "lamp" in rig_schema(MORE)["definitions"]["part"]["properties"]["kind"]["enum"]
    assert state_words(LAMP) == ("dark", "lit")
