"""What the sheets say, and that they are as archivable, readable and repeatable as the cards."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pikepdf
import pytest
import zxingcpp

from stepwell.circuit.entry import Family
from stepwell.circuit.kinds import part_kind
from stepwell.model.language import ENGLISH
from stepwell.publish.sheet import lines_of, spoken
from stepwell.render.cards.code import code_text
from stepwell.render.cards.engine import default_engine
from stepwell.render.cards.fonts import points_for
from stepwell.render.cards.sizes import LEAST_ARC, cap_mm
from stepwell.render.drawings.place import plan_of
from stepwell.render.drawings.plan import SHEET
from stepwell.render.drawings.type_size import SIZE
from stepwell.render.sheets.document import Document, Entry, Heading, Picture, Table, Title
from stepwell.render.sheets.document import Words as Cell
from stepwell.render.sheets.inspection import inspection
from stepwell.render.sheets.make import documents
from stepwell.render.sheets.press import press
from stepwell.render.sheets.set_lines import TRAITS
from stepwell.slips.results import Outcome
from stepwell.source.workspace import load_workspace
from tests.cards.made import characters, page_texts, pictures, slanted
from tests.sheets.made import AS_OF, CHOSEN, PROTOCOLS, SORTS, made, source

EVERY = pytest.mark.parametrize("path", sorted(made()))


def cells(document: Document, name: str) -> list[list[str]]:
    """The words of a table's rows."""
    tables = [block for block in document.blocks if isinstance(block, Table) and block.id == name]
    rows = [row for table in tables for row in table.rows]
    return [[" ".join((cell.words, *cell.more)) for cell in row.cells if isinstance(cell, Cell)] for row in rows]


def test_every_sort_is_made() -> None:
    assert {path.partition("/")[0] for path in made()} == set(SORTS)
    assert {f"trainer/{name}.pdf" for name in CHOSEN} <= set(made())
    assert {"index/wall.pdf", "index/pocket.pdf", "labels/labels.pdf"} <= set(made())


@EVERY
def test_it_is_archivable_tagged_and_says_what_it_is(path: str) -> None:
    document, result = made()[path]
    with pikepdf.open(io.BytesIO(result.pdf)) as pdf:
        with pdf.open_metadata() as meta:
            assert (meta["pdfaid:part"], meta["pdfaid:conformance"], meta["pdfuaid:part"]) == ("2", "A", "1")
            assert document.title in meta["dc:title"]
        assert len(pdf.pages) == result.pages
        size = [298, 420] if document.paper == "a6" else [595, 842]
        for page in pdf.pages:
            assert [round(float(n)) for n in page.mediabox][2:] == size


@EVERY
def test_every_page_is_a_draft_with_its_number(path: str) -> None:
    _, result = made()[path]
    told = page_texts(result.pdf)
    for number, words in enumerate(told, start=1):
        assert "DRAFT - NOT FOR USE" in words
        assert f"Page {number} of {len(told)}" in words
    assert result.findings == ()


@EVERY
def test_the_same_sheet_gives_the_same_bytes(path: str) -> None:
    document, result = made()[path]
    assert press(document, as_of=AS_OF).pdf == result.pdf


def test_a_kit_list_has_two_boxes_a_line() -> None:
    document, result = made()["kit/connect-va.pdf"]
    sheet = next(one for one in source().sheets if one.id == "connect-va")
    assert [row[0] for row in cells(document, "kit")] == [one.name for one in sheet.kit]
    table = next(block for block in document.blocks if isinstance(block, Table))
    assert table.columns[-2:] == ("box", "box")
    assert Heading(words="Does yours match? The set before the first line") in document.blocks
    (start,) = (block for block in document.blocks if isinstance(block, Picture))
    assert "return cannula clamp: shut" in start.alt
    # The drawing's words are as large as a card's, and what stands beside the circuit is said below it.
    _, page = page_texts(result.pdf)
    assert "return cannula" in page
    assert page.index("Beside the circuit:") > page.index("pump head:")
    least = points_for(cap_mm(LEAST_ARC, sheet.reading_distance_mm), default_engine().main_font)
    drawn = [char for char in characters(result.pdf) if char["page_number"] == 2 and 110 < float(str(char["top"])) < 380]
    assert len(drawn) > 100
    assert min(float(str(char["size"])) for char in drawn if not slanted(char)) >= least - 0.05


def test_a_trainers_sheet_tells_every_line_its_reason_and_its_slips() -> None:
    for name in CHOSEN:
        document, result = made()[f"trainer/{name}.pdf"]
        sheet = next(one for one in source().sheets if one.id == name)
        slips = source().slips[name].report
        rows = cells(document, "lines")
        assert len(rows) == len(lines_of(sheet.items))
        for line, (mark, what, why) in zip(lines_of(sheet.items), rows, strict=True):
            assert mark == f"{line.mark} critical" if line.id in slips.critical else mark == line.mark
            assert spoken(line.text) in what
            assert spoken(line.why) in why
            silent = [one for one in slips.slips if one.step == line.id and one.outcome is Outcome.SILENT]
            assert ("nobody notices" in why) is bool(silent)
        words = " ".join(page_texts(result.pdf))
        assert f"Fatal slips that nothing in the model catches: {slips.fatal_silent} of {slips.fatal_total}" in words
        assert "TRAINER'S SHEET, NOT A CARD" in words
        if sheet.done_call:
            assert any("calls at the end" in row[0] for row in cells(document, "seen"))


def test_a_trainers_sheet_of_an_unchecked_procedure_says_so() -> None:
    bare = replace(source(), slips={}, report=replace(source().report, procedures=()))
    for document in documents(bare, ("trainer",)):
        assert "so nothing is known of slips" in " ".join(page_texts(press(document, as_of=AS_OF).pdf))


def test_an_inspection_sheet_has_a_line_for_everything_in_the_sets_file() -> None:
    for rig in source().workspace.rigs:
        document, result = made()[f"inspection/{rig.id}.pdf"]
        joints = cells(document, "joints")
        assert len(joints) == len({pair for chain in rig.chains for pair in zip(chain.parts, chain.parts[1:], strict=False)})
        told = {row[0] for name in ("ends", "gates", "spaces", "equipment") for row in cells(document, name)}
        assert {part.label for part in rig.parts if part.kind not in ("vein", "artery")} == told
        sensors = {row[0]: row[2] for row in cells(document, "equipment")}
        for part in rig.parts:
            kind = part_kind(part.kind)
            if kind is not None and kind.family is Family.EQUIPMENT:
                assert all(TRAITS.get(trait, trait.replace("-", " ")) in sensors[part.label] for trait in part.traits)
        figures = " ".join(row[2] for row in cells(document, "spaces"))
        assert "on the main path" in figures
        assert not re.search(r"\d [a-zµ]", figures), "a figure can break from its unit"
        assert result.pages >= 3


def test_the_indexes_hold_every_emergency_and_nothing_else() -> None:
    urgent = [sheet for sheet in source().sheets if sheet.kind == "emergency"]
    others = [sheet for sheet in source().sheets if sheet.kind != "emergency"]
    for name in ("wall", "pocket"):
        document, result = made()[f"index/{name}.pdf"]
        entries = [block for block in document.blocks if isinstance(block, Entry)]
        assert [one.title for one in entries] == [sheet.title for sheet in urgent]
        words = " ".join(page_texts(result.pdf))
        for sheet in urgent:
            assert all(word in words for word in sheet.title.split())
            assert sheet.short_hash in words
        assert not [sheet.title for sheet in others if sheet.title in words]


def test_the_wall_index_is_set_as_large_as_one_page_allows() -> None:
    """Titles of 40 points have capitals of 9.4 mm: 16 minutes of arc at 2 m (NUREG-0700 1.3.1-4, as quoted)."""

    def titles(number: int) -> tuple[float, int]:
        urgent = [sheet for sheet in source().sheets if sheet.kind == "emergency"]
        many = tuple(replace(sheet, id=f"{sheet.id}-{n}") for n in range(number) for sheet in urgent)
        made = press(documents(replace(source(), sheets=many), ("index",))[0], as_of=AS_OF)
        return max(float(str(char["size"])) for char in characters(made.pdf) if not slanted(char)), made.pages

    few, more, most = (titles(number) for number in (1, 2, 6))
    assert (few[1], more[1]) == (1, 1)
    assert few[0] * 0.668 * 25.4 / 72 >= 2000 * 0.004654
    assert few[0] > more[0] >= 22
    assert most[1] > 1


def test_an_index_that_is_too_long_is_a_finding() -> None:
    many = tuple(replace(sheet, id=f"{sheet.id}-{n}") for n in range(6) for sheet in source().sheets)
    found = [
        one
        for document in documents(replace(source(), sheets=many), ("index",))
        for one in press(document, as_of=AS_OF).findings
    ]
    assert {finding.code for finding in found} == {"SW407"}


def test_labels_read_from_a_150_dpi_print() -> None:
    _, result = made()["labels/labels.pdf"]
    read = {code.text for page in pictures(result.pdf, 150) for code in zxingcpp.read_barcodes(page.convert("L"))}
    assert read == {code_text(sheet) for sheet in source().sheets}
    words = " ".join(page_texts(result.pdf))
    assert all(sheet.short_hash in words for sheet in source().sheets)


def test_words_of_drawings_on_paper_fill_16_minutes_of_arc_at_40_cm() -> None:
    """A sheet is read in the hand. Capitals of 1.86 mm are 16 minutes at 40 cm (NUREG-0700 1.3.1-4, as quoted)."""
    workspace = load_workspace(PROTOCOLS).workspace
    assert workspace is not None
    for rig in workspace.rigs:
        plan = plan_of(rig, SHEET)
        millimetres = min(178 / SHEET.width, 239 / plan.height)
        assert SIZE * 0.668 * millimetres >= 1.8, rig.id


def test_hostile_words_stay_words() -> None:
    rig = source().workspace.rigs[0]
    evil = '#panic("x") \\ <b> $1$ \U0001f600 & "'
    parts = tuple(replace(part, label=evil + part.label, place=evil) for part in rig.parts)
    document = inspection(replace(rig, title=evil, parts=parts), evil, evil, ENGLISH, AS_OF)
    result = press(document, as_of=AS_OF)
    words = " ".join(page_texts(result.pdf))
    assert re.search(r'#panic\("x"\) \\ <b> \$1\$ \[U\+1F600\] & "', words)
    assert {finding.code for finding in result.findings} == {"SW405"}


def test_sheets_begin_with_their_title() -> None:
    for document, _ in made().values():
        assert isinstance(document.blocks[0], Title)
        assert all(block.level in (2, 3) for block in document.blocks if isinstance(block, Heading))


def test_a_trainers_sheet_says_in_which_state_to_set_up() -> None:
    trainers = {path: made()[path] for path in made() if path.startswith("trainer/")}
    lessons = {sheet.id: sheet for sheet in source().sheets}
    assert any(lessons[document.id].kind == "emergency" for document, _ in trainers.values())
    for document, result in trainers.values():
        told = page_texts(result.pdf)[0]
        assert "Set up:" in told
        for one in lessons[document.id].starts:
            assert re.sub(r"\s", "", spoken(one)) in re.sub(r"\s", "", told)
