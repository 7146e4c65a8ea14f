"""The committee reads the new card in full beside the list of changes: everything that the card says, and nothing else."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace
from datetime import date

import pdfplumber
import pytest
from jsonschema import Draft7Validator

from stepwell.cli.layers_compare import sheets
from stepwell.compare.results import Comparison
from stepwell.model.procedure import Step, Text
from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import lines_of, spoken
from stepwell.render.compare.copy import Copy, copies_of
from stepwell.render.compare.document import compare_document
from stepwell.render.compare.markdown import render_compare_markdown
from stepwell.render.compare.packet import render_packet
from stepwell.render.compare.page import render_compare_page
from stepwell.resources import data_dir
from tests import demo
from tests.compare.test_meaning import with_procedure
from tests.compare.test_shown import EVIL, Tags, found

DAY = date(2026, 11, 25)


def changed_card(words: str = "Look long at the blood.") -> Workspace:
    plan = demo.procedure("gas-lost")

    def change(step: Step) -> Step:
        return replace(step, say=(Text(words),)) if step.id == "c8xr" else step

    return with_procedure(replace(plan, version="9.0.0", body=demo.changed(plan.body, change)))


@pytest.fixture(scope="module")
def one() -> tuple[Comparison, tuple[Copy, ...]]:
    new = changed_card()
    comparison = found(new)
    return comparison, copies_of(comparison, sheets(new, DAY))


def test_the_copy_says_every_word_of_the_sheet(one: tuple[Comparison, tuple[Copy, ...]]) -> None:
    _, copies = one
    assert [copy.name for copy in copies] == ["gas-lost 9.0.0"]
    sheet = next(sheet for sheet in sheets(changed_card(), DAY) if sheet.id == "gas-lost")
    steps = [line for line in copies[0].lines if line.sort == "step"]
    assert [(line.mark, line.text) for line in steps] == [(line.mark, spoken(line.text)) for line in lines_of(sheet.items)]
    for line, said in zip(lines_of(sheet.items), steps, strict=True):
        told = " ".join(words for _, words in said.details)
        for text in (*(one.text for one in line.expect), line.why, *([line.if_not.text] if line.if_not else [])):
            assert spoken(text) in told
    assert dict(copies[0].head)["Use when"] == spoken(sheet.use_when)
    assert dict(copies[0].foot)["Code"] == sheet.short_hash


def test_beside_a_line_stands_the_number_of_its_change(one: tuple[Comparison, tuple[Copy, ...]]) -> None:
    comparison, copies = one
    numbers = {edit.item: number for number, edit in enumerate(comparison.edits, 1)}
    touched = {line.text: line.changes for line in copies[0].lines if line.changes}
    assert touched == {"Look long at the blood.": (numbers["c8xr"],)}
    assert copies[0].changes == (numbers[""],), "the version stands in no line"


def test_a_number_of_the_unit_is_told_at_the_lines_that_print_it() -> None:
    old = demo.workspace()
    numbers = tuple(
        replace(one, value=replace(one.value, value=one.value.value + 1)) if one.name == "start-sweep" else one
        for one in old.unit.numbers
    )
    new = replace(old, unit=replace(old.unit, numbers=numbers))
    comparison = found(new)
    hashes = [{sheet.id: sheet.hash for sheet in sheets(side, DAY)} for side in (old, new)]
    assert sum(hashes[0][name] != hashes[1][name] for name in hashes[0]) > 1
    from stepwell.compare.meaning import Side, compare

    sides = [
        Side(name=str(at), workspace=side, checked={}, slips={}, hashes=hashes[at]) for at, side in enumerate((old, new))
    ]
    comparison = compare(sides[0], sides[1], as_of=DAY, slips=False)
    card = next(copy for copy in copies_of(comparison, sheets(new, DAY)) if copy.name.startswith("gas-lost"))
    assert [line.mark for line in card.lines if line.changes == (1,)] == ["2"]


def test_a_part_that_is_called_otherwise_is_told_at_its_lines() -> None:
    old = demo.workspace()
    rigs = tuple(
        replace(rig, parts=tuple(replace(p, label="big bottle") if p.id == "cylinder" else p for p in rig.parts))
        if rig.id == "adult-va"
        else rig
        for rig in old.rigs
    )
    new = replace(old, rigs=rigs)
    comparison = found(new)
    plan = next(sheet for sheet in sheets(new, DAY) if sheet.id == "gas-lost")
    from stepwell.compare.results import Card

    comparison = replace(comparison, cards=(Card(procedure="gas-lost", title=plan.title, old="1", new="1"),))
    lines = copies_of(comparison, [plan])[0].lines
    assert [line.mark for line in lines if line.changes] == ["1"]


def test_every_format_but_the_screen_holds_it(one: tuple[Comparison, tuple[Copy, ...]]) -> None:
    comparison, copies = one
    said = "Call for a second cylinder and for biomedical engineering."
    assert said in render_compare_page(comparison, copies)
    assert said in render_compare_markdown(comparison, copies)
    document = compare_document(comparison, copies, version="0")
    schema = json.loads((data_dir("schema") / "compare.schema.json").read_text(encoding="utf-8"))
    Draft7Validator(schema).validate(document)
    assert said in [line["text"] for line in document["copies"][0]["lines"]]  # type: ignore[index, union-attr, call-overload]
    with pdfplumber.open(io.BytesIO(render_packet(comparison, copies))) as packet:
        pages = [" ".join((page.extract_text() or "").split()) for page in packet.pages]
    at = next(number for number, text in enumerate(pages) if "The new text in full" in text)
    assert said in pages[at]
    assert "Not agreed" in pages[-1], "the decision comes last, after everything has been read"
    assert re.search(r"change 2", pages[at])


def test_words_of_authors_can_not_become_markup_there() -> None:
    new = changed_card(EVIL)
    comparison = found(new)
    copies = copies_of(comparison, sheets(new, DAY))
    tags = Tags()
    tags.feed(render_compare_page(comparison, copies))
    assert not {"script", "a"} & set(tags.tags)
    text = render_compare_markdown(comparison, copies)
    assert not re.search(r"(?<!\\)[<@`|]", text)
    assert render_packet(comparison, copies).startswith(b"%PDF")
