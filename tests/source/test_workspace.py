"""A whole folder: what is missing, what leads out of it, what one broken file does to the others."""

from __future__ import annotations

import os
import time
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import Condition, Figure, Hold, PartName, Procedure, Stage, Step, Text, steps_of
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Setting
from stepwell.source.notes import MOST
from stepwell.source.workspace import Loaded, load_workspace
from tests.source.bench import BROKEN, GOOD, PLACES, ROOT, copied, load, told, with_file
from tests.source.test_yaml import hostile


def rules(loaded: Loaded) -> list[str]:
    return [finding.rule for finding in loaded.findings]


def test_a_good_procedure_becomes_the_model() -> None:
    loaded = load(GOOD)
    assert loaded.workspace is not None
    (procedure,) = loaded.workspace.procedures
    stage, hold = procedure.body
    assert isinstance(stage, Stage)
    assert isinstance(hold, Hold)
    first, second = steps_of(procedure.body)
    assert first.say == (Text("Open "), PartName("prime-clamp"), Text("."))
    assert second.say == (Text("Run "), PartName("pump"), Text(" at "), Figure("fill-speed"), Text("."))
    assert first.do[0].verb == "open"
    assert first.do[0].parts == ("prime-clamp",)
    assert second.do[0].option("at") == Quantity(Decimal(1500), "rpm")
    assert second.takes == (Quantity(Decimal(1), "min"), Quantity(Decimal(2), "min"))
    assert first.expect == (Condition(predicate=Fact("open", (Ref("prime-clamp"),))),)
    assert procedure.starts is not None
    assert procedure.starts.baseline == "unpacked"
    assert procedure.starts.settings == (Setting(part="vent", word="open"),)
    (rig,) = loaded.workspace.rigs
    (baseline,) = rig.baselines
    assert Setting(part="return-end", word="joined:drain-end") in baseline.settings
    assert rig.chains[0].parts[-1] == "air"
    assert loaded.workspace.rules[-1].name == "clamp-left-open"
    assert loaded.workspace.unit.synonyms[0].words == ("prime", "fill")


def test_items_have_their_places() -> None:
    loaded = load(GOOD)
    assert loaded.workspace is not None
    (procedure,) = loaded.workspace.procedures
    text = (GOOD / "procedures/fill-set.yaml").read_text().split("\n")
    step: Step = steps_of(procedure.body)[0]
    for span, said in (
        (step.span, "id: k7f3"),
        (step.say_span, "Open {prime-clamp}."),
        (step.do_span, "{open: prime-clamp}"),
        (step.do[0].span, "open: prime-clamp"),
        (procedure.span, "procedure: fill-set"),
        (procedure.ends_span, "ends: [{shut: vent}]"),
    ):
        assert span is not None
        assert text[span.line - 1][span.column - 1 : span.end_column - 1] == said


def test_a_folder_without_unit_file_is_told(tmp_path: Path) -> None:
    loaded = load(tmp_path)
    assert loaded.workspace is None
    assert rules(loaded) == ["unit-file-missing"]
    assert "unit.yaml" in loaded.findings[0].message


def test_a_broken_procedure_hides_nothing_of_the_others(tmp_path: Path) -> None:
    root = copied(tmp_path)
    (root / "procedures/a.yaml").write_text("procedure: [\n")
    text = (root / "procedures/fill-set.yaml").read_text()
    (root / "procedures/b.yaml").write_text(
        text.replace("fill-set", "b").replace("open: prime-clamp", "opem: prime-clamp", 1)
    )
    loaded = load(root)
    assert rules(loaded) == ["yaml-syntax", "unknown-verb"]
    assert loaded.workspace is not None
    assert [procedure.id for procedure in loaded.workspace.procedures] == ["fill-set"]
    assert loaded.failed == ("a", "b")


def test_a_broken_rig_does_not_blame_its_procedures(tmp_path: Path) -> None:
    _, loaded = with_file(tmp_path, "rigs", (BROKEN / "rigs/kind-unknown.yaml").read_bytes())
    assert rules(loaded) == ["unknown-kind"]
    assert loaded.failed == ("fill-set",)


def test_an_unreadable_rig_does_not_blame_its_procedures(tmp_path: Path) -> None:
    _, loaded = with_file(tmp_path, "rigs", b"rig: [")
    assert rules(loaded) == ["yaml-syntax"]
    assert loaded.failed == ("fill-set",)


def test_links_that_leave_the_folder_are_refused(tmp_path: Path) -> None:
    root = copied(tmp_path)
    outside = tmp_path / "outside.yaml"
    outside.write_text("procedure: outside\n")
    (root / "procedures/link.yaml").symlink_to(outside)
    loaded = load(root)
    assert rules(loaded) == ["leaves-workspace"]
    assert "outside" not in loaded.findings[0].message


def test_a_folder_that_is_a_link_out_is_refused(tmp_path: Path) -> None:
    root = copied(tmp_path)
    (root / "rules/clamp-left-open.yaml").unlink()
    (root / "rules").rmdir()
    (root / "rules").symlink_to(GOOD / "rules")
    assert rules(load(root)) == ["leaves-workspace"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes in this system's file tree")
def test_pipes_and_loops_neither_block_nor_raise(tmp_path: Path) -> None:
    root = copied(tmp_path)
    os.mkfifo(root / "procedures/pipe.yaml")
    (root / "procedures/loop.yaml").symlink_to(root / "procedures/loop.yaml")
    (root / "procedures/folder.yaml").mkdir()
    assert set(rules(load(root))) <= {"unreadable-file", "leaves-workspace"}
    assert len(load(root).findings) == 3


def test_files_that_would_be_passed_over_are_told(tmp_path: Path) -> None:
    root = copied(tmp_path)
    (root / "procedures/other.yml").write_text("procedure: other\n")
    (root / "procedures/more").mkdir()
    (root / "procedures/more/x.yaml").write_text("procedure: x\n")
    loaded = load(root)
    assert rules(loaded) == ["wrong-folder", "wrong-folder"]
    assert not any("README" in line for line in told(loaded.findings))


def test_one_name_for_two_files_is_told_with_both_places(tmp_path: Path) -> None:
    root = copied(tmp_path)
    (root / "procedures/second.yaml").write_bytes((root / "procedures/fill-set.yaml").read_bytes())
    (root / "rules/second.yaml").write_bytes((root / "rules/clamp-left-open.yaml").read_bytes())
    loaded = load(root)
    assert rules(loaded) == ["duplicate-name"] * 3
    assert all(finding.related and finding.related[0].span for finding in loaded.findings)


def test_what_starts_from_a_lost_procedure_is_left_out_too(tmp_path: Path) -> None:
    root = copied(tmp_path)
    text = (root / "procedures/fill-set.yaml").read_text()
    after = text.replace("procedure: fill-set", "procedure: after").replace("from: unpacked", "from: {procedure: fill-set}")
    (root / "procedures/after.yaml").write_text(after)
    assert load(root).findings == ()
    (root / "procedures/fill-set.yaml").write_text(text.replace("read-and-do", "read"))
    loaded = load(root)
    assert rules(loaded) == ["unknown-word"]
    assert set(loaded.failed) == {"after", "fill-set"}


def change(tmp_path: Path, old: str, new: str, kind: str = "procedures") -> Loaded:
    text = (GOOD / PLACES[kind]).read_text()
    assert old in text
    return with_file(tmp_path, kind, text.replace(old, new, 1).encode())[1]


def procedure_of(loaded: Loaded) -> Procedure:
    assert told(loaded.findings) == []
    assert loaded.workspace is not None
    return loaded.workspace.procedures[0]


def test_several_parts_of_one_verb_are_several_actions(tmp_path: Path) -> None:
    step = steps_of(procedure_of(change(tmp_path, "do: {open: prime-clamp}", "do: {open: [prime-clamp, vent]}")).body)[0]
    assert [action.parts for action in step.do] == [("prime-clamp",), ("vent",)]
    assert not step.at_once


def test_together_and_wait_and_pairs(tmp_path: Path) -> None:
    do = "do: {together: [{shut: prime-clamp}, {stop: pump}]}"
    assert steps_of(procedure_of(change(tmp_path / "a", "do: {open: prime-clamp}", do)).body)[0].at_once
    do = "do: [{wait: fill-time}, {part: [drain-end, return-end]}, {join: [drain-end, return-end], wet: true}]"
    wait, part, join = steps_of(procedure_of(change(tmp_path / "b", "do: {open: prime-clamp}", do)).body)[0].do
    assert wait.option("for") == Quantity(Decimal(2), "min")
    assert wait.parts == ()
    assert part.parts == join.parts == ("drain-end", "return-end")
    assert join.option("wet") is True


def test_a_start_may_be_left_open(tmp_path: Path) -> None:
    new = "vent: {any: [open, shut]}, prime-bag: [hung, {any: [clear, wet]}], joined: [[drain-end, return-end]]"
    starts = procedure_of(change(tmp_path, "vent: open", new)).starts
    assert starts is not None
    assert starts.open_settings == (("vent", ("open", "shut")), ("prime-bag", ("clear", "wet")))
    assert Setting(part="prime-bag", word="hung") in starts.settings


def test_doubled_braces_are_printed(tmp_path: Path) -> None:
    loaded = change(tmp_path, "say: Open {prime-clamp}.", 'say: "Set {{A}} <b>bold</b> javascript:x"')
    assert steps_of(procedure_of(loaded).body)[0].say == (Text("Set {A} <b>bold</b> javascript:x"),)


def test_wrong_numbers_of_parts(tmp_path: Path) -> None:
    for number, (old, new) in enumerate(
        (
            ("do: {open: prime-clamp}", "do: {join: drain-end}"),
            ("do: {open: prime-clamp}", "do: {join: [drain-end, drain-end]}"),
            ("expect: {open: prime-clamp}", "expect: {position: pre-tap}"),
            ("expect: {open: prime-clamp}", "expect: {patient-attached: vent}"),
        )
    ):
        assert rules(change(tmp_path / str(number), old, new)) == ["wrong-number-of-parts"]
    loaded = change(tmp_path / "t", "do: {open: prime-clamp}", "do: [{together: [{open: vent}]}]")
    assert rules(loaded) == ["together-in-list"]
    assert rules(change(tmp_path / "c", "[drain-end, prime-line]", "[drain-end]", "rigs")) == ["chain-too-short"]


def test_after_may_point_forward_where_nothing_forbids_it(tmp_path: Path) -> None:
    text = (GOOD / PLACES["procedures"]).read_text().replace("stage: Fill", "any-order: Fill")
    fine = text.replace("        who: primer\n", "        after: [m2q8]\n        who: primer\n", 1)
    assert told(with_file(tmp_path / "a", "procedures", fine.encode())[1].findings) == []
    circle = fine.replace("        who: assistant\n", "        after: [k7f3]\n        who: assistant\n", 1)
    assert rules(with_file(tmp_path / "b", "procedures", circle.encode())[1]) == ["after-in-a-circle"]


def test_ids_that_count_are_told_together(tmp_path: Path) -> None:
    text = (GOOD / PLACES["procedures"]).read_text()
    text = text.replace("k7f3", "s001").replace("m2q8", "s002").replace("h1aa", "s003")
    assert rules(with_file(tmp_path, "procedures", text.encode())[1]) == ["positional-id"]


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(kind=st.sampled_from(sorted(PLACES)), data=hostile)
def test_no_content_of_any_file_ever_raises(tmp_path_factory: object, kind: str, data: bytes) -> None:
    tmp = tmp_path_factory.mktemp("any")  # type: ignore[attr-defined]  # pytest's factory is not worth an import
    _, loaded = with_file(tmp, kind, data)
    assert loaded.findings


GOOD_BYTES = {kind: (GOOD / place).read_bytes() for kind, place in PLACES.items()}
PIECES = [b"", b"{", b"[a, b]", b"{a: b}", b"null", b"1", b"true", b'""', b"{}", b"[]", b"[[]]", b"[{}]", b"~", b"x.y"]


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data(), kind=st.sampled_from(sorted(PLACES)))
def test_a_good_file_with_anything_put_in_never_raises(tmp_path_factory: object, data: st.DataObject, kind: str) -> None:
    text = GOOD_BYTES[kind]
    places = [place for place, byte in enumerate(text) if byte in b" :{[,"]
    start = data.draw(st.sampled_from(places))
    end = data.draw(st.sampled_from([place for place in places if place >= start][:12]))
    changed = text[: start + 1] + data.draw(st.sampled_from(PIECES)) + text[end:]
    tmp = tmp_path_factory.mktemp("near")  # type: ignore[attr-defined]  # pytest's factory is not worth an import
    loaded = with_file(tmp, kind, changed)[1]
    assert all(finding.span and finding.message and finding.mend for finding in loaded.findings), told(loaded.findings)


def test_a_file_of_nothing_but_faults_is_given_up_soon(tmp_path: Path) -> None:
    keys = "".join(f"wrong-key-{n}: [a, b]\n" for n in range(12_000))
    parts = ", ".join(f"prime-clam{n}" for n in range(12_000))
    text = GOOD_BYTES["procedures"].decode().replace("open: prime-clamp", f"open: [{parts}]", 1)
    for number, data in enumerate((keys, text, "a: 1\n" * 12_000)):
        _, loaded = with_file(tmp_path / str(number), "procedures", data.encode())
        assert len(loaded.findings) == MOST
        assert loaded.findings[-1].message.endswith("more faults, which are not listed.")
        assert loaded.failed == ("fill-set",)


def test_the_time_for_sixty_steps_is_printed(tmp_path: Path, capsys: object) -> None:
    head, _, tail = (GOOD / PLACES["procedures"]).read_text().partition("      - id: m2q8\n")
    hold = tail[tail.index("  - hold:") :]
    block = "      - id: m2q8\n" + tail[: tail.index("  - hold:")]
    letters = "abcdefghjk"
    many = "".join(block.replace("m2q8", f"{letters[n // 10]}x{n % 10}z") for n in range(60))
    root = copied(tmp_path)
    (root / PLACES["procedures"]).write_text(head + many + hold)
    load(root)
    began = time.perf_counter()
    loaded = load(root)
    spent = time.perf_counter() - began
    assert told(loaded.findings) == []
    with capsys.disabled():  # type: ignore[attr-defined]  # pytest's fixture is not worth an import
        print(f"\n61 steps, a rig and all rules loaded in {spent * 1000:.1f} ms")


def test_the_unit_of_this_repository_loads() -> None:
    loaded = load_workspace(ROOT / "protocols")
    assert told(loaded.findings) == []
    assert loaded.workspace is not None
    assert loaded.workspace.procedures
