"""Every change is shown once in every format, what is weaker first; words of authors can't become markup."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import pytest
from jsonschema import Draft7Validator

from stepwell.compare.meaning import Side, compare
from stepwell.compare.results import Comparison
from stepwell.model.procedure import Step, Text
from stepwell.model.workspace import Workspace
from stepwell.render.compare.document import compare_document
from stepwell.render.compare.markdown import render_compare_markdown
from stepwell.render.compare.packet import render_packet
from stepwell.render.compare.page import render_compare_page
from stepwell.render.compare.text import render_compare
from stepwell.render.compare.view import view_of
from stepwell.render.text.look import Look
from stepwell.resources import data_dir
from tests import demo
from tests.compare.mutate import mutated
from tests.compare.test_meaning import with_procedure

EVIL = '<script>alert(1)</script> [a](http://x) **b** | `c` @d \x1b[31m"'


def found(new: Workspace, files: tuple[tuple[str, str], ...] = ()) -> Comparison:
    one = Side(name="old", workspace=demo.workspace(), checked={}, slips={}, hashes={})
    two = Side(name="new", workspace=new, files=files, checked={}, slips={}, hashes={})
    return compare(one, two, as_of=date(2026, 11, 25), slips=False)


@pytest.fixture(scope="module")
def many() -> Comparison:
    import random

    chance = random.Random(11)
    new = demo.workspace()
    for _ in range(25):
        new = mutated(new, chance)
    while not found(new).weaker:
        new = mutated(new, chance)
    return found(new)


@pytest.fixture(scope="module")
def evil() -> Comparison:
    plan = demo.procedure("connect-va")

    def change(step: Step) -> Step:
        return replace(step, say=(Text(EVIL),), confirm=None)

    return found(with_procedure(replace(plan, title=EVIL, body=demo.changed(plan.body, change))), (("notes.txt", EVIL),))


def test_every_change_is_an_item_of_one_section(many: Comparison) -> None:
    view = view_of(many)
    numbers = [item.number for section in view.sections for item in section.items]
    assert sorted(numbers) == list(range(1, len(many.edits) + 1))
    assert view.shown == len(many.edits) > 10
    assert view.count == f"{len(many.edits)} changes, {len(many.edits)} shown."


def test_what_is_weaker_stands_first_on_the_screen(many: Comparison) -> None:
    text = render_compare(many, Look(width=90))
    assert many.weaker
    assert text.index("!! Weaker") < text.index("Other changes")
    assert "Is anything weaker? YES" in text.splitlines()[1]
    assert all(line == line.rstrip() for line in text.splitlines())
    for number in range(1, len(many.edits) + 1):
        assert re.search(rf"^ +{number}  ", text, re.M)


def test_the_document_is_as_the_schema_says(many: Comparison, evil: Comparison) -> None:
    schema = json.loads((data_dir("schema") / "compare.schema.json").read_text(encoding="utf-8"))
    for one in (many, evil):
        document = compare_document(one, version="0")
        Draft7Validator(schema).validate(document)
        assert document["changes"] == document["shown"] == len(one.edits)


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)


def test_the_page_has_a_box_per_change_and_no_script(many: Comparison, evil: Comparison) -> None:
    for one in (many, evil):
        tags = Tags()
        tags.feed(render_compare_page(one))
        assert tags.tags.count("input") == len(one.edits)
        assert "script" not in tags.tags
        assert "a" not in tags.tags


def test_markdown_has_a_box_per_change_and_no_markup_of_authors(many: Comparison, evil: Comparison) -> None:
    for one in (many, evil):
        text = render_compare_markdown(one)
        assert len(re.findall(r"^- \[ \] \*\*\d+\.\*\*", text, re.M)) == len(one.edits)
        assert not re.search(r"(?<!\\)[<@`|]", text)
        assert not re.search(r"(?<!\\)\]\(", text)
        assert "\x1b" not in text


def test_the_terminal_is_not_coloured_by_authors(evil: Comparison) -> None:
    assert "\x1b" not in render_compare(evil, Look(width=80))
    assert render_compare(evil, Look(width=80, full=False)).isascii()


def test_the_packet_is_the_same_every_time_and_has_a_place_to_decide(many: Comparison) -> None:
    import io

    import pdfplumber

    one = render_packet(many)
    assert one == render_packet(many)
    with pdfplumber.open(io.BytesIO(one)) as packet:
        text = "\n".join(page.extract_text() for page in packet.pages)
    assert "Not agreed" in text
    assert text.count("Signature") >= 4
    for number in range(1, len(many.edits) + 1):
        assert re.search(rf"^{number}\. ", text, re.M), number


def test_hostile_words_do_not_break_the_packet(evil: Comparison) -> None:
    assert render_packet(evil).startswith(b"%PDF")


def test_a_file_beside_the_model_is_compared_too(evil: Comparison) -> None:
    assert [edit.sort.value for edit in evil.edits if edit.kind == "file"] == ["added"]
