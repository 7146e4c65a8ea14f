"""The circuit before the first line, on the laid-out pages: which cards have it, where, how large, and what it says."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from time import monotonic

import pikepdf
import pytest

from stepwell.model.procedure import Kind
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.publish.build import build_sheet
from stepwell.publish.sheet import Sheet, lines_of, spoken
from stepwell.publish.translated import in_language, language_of
from stepwell.render.cards.engine import default_engine
from stepwell.render.cards.fonts import POINT_MM
from stepwell.render.cards.render import CardResult, render_card
from stepwell.render.cards.start import Start, start_in
from stepwell.render.drawings.compare import ToCompare
from stepwell.render.drawings.draw import planned
from stepwell.report.check import Options, check_workspace
from stepwell.report.results import CheckReport
from stepwell.source.read_fixed_words import fixed_words
from tests import demo
from tests.cards.made import characters, page_texts, slanted
from tests.cards.test_text import in_reading_order, squeezed
from tests.publish.bench import AS_OF, quantity

SHOWN = ("connect-va", "arrival", "dry-assembly", "zero-fluid-line", "circuit-change")
NAMES = (*SHOWN, "connect-vv", "hand-over", "prime-adult", "ready-to-move", "air-in-circuit")
EACH = pytest.mark.parametrize("name", SHOWN)
ROUTINE = tuple(name for name in NAMES if name != "air-in-circuit")
"""Every routine card of the demo."""


@cache
def report() -> CheckReport:
    return check_workspace(demo.workspace(), as_of=AS_OF, clock=monotonic, procedures=NAMES, options=Options(bites=False))


def sheet_of(name: str, code: str = "en", space: Workspace | None = None) -> Sheet:
    given = space or demo.workspace()
    language = language_of(given, fixed_words(code))
    there = in_language(given, language)
    procedure = next(one for one in there.procedures if one.id == name)
    entry = next(one for one in report().procedures if one.procedure == name)
    return build_sheet(there, procedure, entry, AS_OF, language=language)


@cache
def printed(name: str, code: str = "en") -> tuple[Sheet, Start | None, CardResult]:
    sheet = sheet_of(name, code)
    start = start_in(demo.workspace(), report(), sheet)
    return sheet, start, render_card(sheet, as_of=AS_OF, start=start)


def drawing_of(name: str, code: str = "en") -> ToCompare:
    start = printed(name, code)[1]
    assert start is not None
    return start.drawing


def page_of(name: str, words: str) -> int:
    pages = page_texts(printed(name)[2].pdf)
    return next(number for number, text in enumerate(pages, 1) if words in text)


def test_only_routine_cards_whose_order_was_checked_have_it() -> None:
    assert printed("air-in-circuit")[1] is None
    sheet = sheet_of("connect-va")
    assert start_in(demo.workspace(), replace(report(), procedures=()), sheet) is None
    entries = tuple(replace(one, starts=()) for one in report().procedures)
    assert start_in(demo.workspace(), replace(report(), procedures=entries), sheet) is None
    rigs = tuple(replace(one, chains=()) for one in demo.workspace().rigs)
    assert start_in(replace(demo.workspace(), rigs=rigs), report(), sheet) is None


def test_a_state_of_another_set_is_not_drawn() -> None:
    entries = tuple(replace(one, starts=((0, 0),)) for one in report().procedures)
    assert start_in(demo.workspace(), replace(report(), procedures=entries), sheet_of("connect-va")) is None


@EACH
def test_it_stands_before_the_first_line(name: str) -> None:
    sheet, _, card = printed(name)
    assert not [one.rule for one in card.findings]
    first = squeezed(spoken(lines_of(sheet.items)[0].text))
    text = squeezed(in_reading_order(card.pdf))
    assert text.count("Doesyoursmatch?") == 1
    assert text.rindex("Doesyoursmatch?") < text.index(first)


def test_these_are_all_routine_cards_of_the_demo() -> None:
    assert set(ROUTINE) == {one.id for one in demo.workspace().procedures if one.kind is Kind.ROUTINE}


@pytest.mark.parametrize("code", ["en", "de"])
@pytest.mark.parametrize("name", ROUTINE)
def test_on_every_routine_card_it_is_on_page_1_and_can_be_read(name: str, code: str) -> None:
    """No exceptions. Below its heading nothing is smaller than 16 minutes of arc but the foot of the page."""
    sheet, start, card = printed(name, code)
    assert start is not None
    assert "SW408" not in [one.code for one in card.findings]
    pages = [squeezed(one) for one in page_texts(card.pdf)]
    opening = squeezed("As it is before the first line." if code == "en" else "Vor der ersten Zeile.")
    assert [number for number, words in enumerate(pages, 1) if opening in words] == [1]
    # The head of the pump is a part of every set and stands in the drawing alone.
    head = next(part for part in rig_of(sheet, code).parts if part.kind == "pump-head")
    mine = [char for char in characters(card.pdf) if char["page_number"] == 1 and not slanted(char)]
    heading = squeezed("Does yours match?" if code == "en" else "Sieht Ihr System so aus?")
    top = place_of(mine, heading)
    drawn = [char for char in mine if float(str(char["top"])) > top and float(str(char["size"])) > 10.01]
    assert squeezed(head.label) in squeezed("".join(str(char["text"]) for char in drawn))
    least = min(float(str(char["size"])) for char in drawn) * default_engine().main_font.cap_height * POINT_MM
    assert least >= 2.79


def rig_of(sheet: Sheet, code: str) -> Rig:
    there = in_language(demo.workspace(), language_of(demo.workspace(), fixed_words(code)))
    return next(one for one in there.rigs if one.id == sheet.rig.id)


def place_of(chars: list[dict[str, object]], words: str) -> float:
    """How far from the top of the page some words end, in points."""
    whole = [char for char in chars if str(char["text"]).strip()]
    text = "".join(str(char["text"]) for char in whole)
    return float(str(whole[text.index(words) + len(words) - 1]["bottom"]))


@pytest.mark.parametrize("code", ["en", "de"])
def test_page_1_is_used(code: str) -> None:
    """What stands on page 1 reaches below the middle of it at least, and on most cards to its foot."""
    reach = []
    for name in ROUTINE:
        mine = [char for char in characters(printed(name, code)[2].pdf) if char["page_number"] == 1 and not slanted(char)]
        foot = min(float(str(c["top"])) for c in mine if float(str(c["size"])) < 10.01 and float(str(c["top"])) > 500)
        last = max(float(str(c["bottom"])) for c in mine if float(str(c["bottom"])) < foot)
        reach.append((foot - last) * POINT_MM)
    assert max(reach) < 80
    assert sum(one < 40 for one in reach) >= 7


def test_two_circuits_that_do_not_touch_are_drawn_one_below_the_other() -> None:
    """The patient on the old set, and the new set in its loop: all parts of both, and what the tubing of each holds."""
    sheet, start, card = printed("circuit-change")
    assert start is not None
    assert "Tubing without words: above blood, below air-free." in " ".join(page_texts(card.pdf)[0].split())
    plan = planned(start.drawing.rig, start.drawing.best(178, 170, 0.2613, 0.3266).picture)
    assert {one.part for one in plan.vessels} == {"vein", "artery", "pump-head", "oxygenator"}
    old = [y for run in plan.runs if run.part == "old-set" for _, y in run.points]
    new = [y for run in plan.runs if run.part == "drain-limb" for _, y in run.points]
    assert max(old) < min(new)
    chained = {name.partition(".")[0] for chain in rig_of(sheet, "en").chains for name in chain.parts} - {"air"}
    assert chained == {one.part for one in (*plan.runs, *plan.gates, *plan.ends, *plan.vessels)}
    assert not plan.notes


@EACH
def test_what_it_says_is_on_the_page(name: str) -> None:
    _, _, card = printed(name)
    drawing = drawing_of(name)
    text = " ".join(in_reading_order(card.pdf).split())
    for label, words in drawing.beside:
        assert f"{squeezed(label)}:{squeezed(words)}" in squeezed(text)
    for part in drawing.told.removesuffix(".").split("; "):
        tubing = part.endswith((f": {drawing.tubing}", f": {drawing.below or drawing.tubing}"))
        assert tubing or squeezed(part) in squeezed(text), part
    both = f"above {drawing.tubing}, below {drawing.below}"
    assert f"Tubing without words: {both if drawing.below else drawing.tubing}." in text


@EACH
def test_its_capitals_fill_16_minutes_at_the_cards_distance(name: str) -> None:
    """NUREG-0700 1.3.1-4, as quoted: 2.8 mm at 60 cm. Every character on the drawing's page but the page's furniture."""
    sheet, _, card = printed(name)
    assert sheet.reading_distance_mm == 600
    page = page_of(name, "As it is before the first line.")
    sizes = {
        round(float(str(char["size"])), 2)
        for char in characters(card.pdf)
        if char["page_number"] == page and not slanted(char) and float(str(char["size"])) > 10.01
    }
    assert min(sizes) * default_engine().main_font.cap_height * POINT_MM >= 2.79


@EACH
def test_it_lies_within_the_margins_and_above_the_foot(name: str) -> None:
    _, _, card = printed(name)
    page = page_of(name, "As it is before the first line.")
    for char in characters(card.pdf):
        if char["page_number"] == page and not slanted(char):
            assert 19.9 / POINT_MM <= float(str(char["x0"])) <= float(str(char["x1"])) <= 198.1 / POINT_MM
    mine = [char for char in characters(card.pdf) if char["page_number"] == page and not slanted(char)]
    foot = [char for char in mine if float(str(char["size"])) < 10.01 and float(str(char["top"])) > 500]
    drawn = [float(str(char["bottom"])) for char in mine if char not in foot]
    assert max(drawn) < min(float(str(char["top"])) for char in foot)


def figures(pdf: bytes) -> list[str]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return [
            str(one.Alt)
            for one in document.objects
            if isinstance(one, pikepdf.Dictionary) and one.get("/S") == "/Figure" and "/Alt" in one
        ]


@EACH
def test_who_does_not_see_it_is_told_every_part(name: str) -> None:
    (alt,) = [one for one in figures(printed(name)[2].pdf) if "before the first line" in one]
    rig = next(one for one in demo.workspace().rigs if one.id == printed(name)[0].rig.id)
    drawn = {name.partition(".")[0] for chain in rig.chains for name in chain.parts}
    assert all(f"{part.label}:" in alt for part in rig.parts if part.id in drawn)


@EACH
def test_the_lines_are_those_of_the_sheet(name: str) -> None:
    sheet, _, card = printed(name)
    text, at = squeezed(in_reading_order(card.pdf)), 0
    for line in lines_of(sheet.items):
        found = text.find(squeezed(spoken(line.text)), at)
        assert found >= 0, f"{line.id} is missing or out of order"
        at = found + 1


def test_the_same_card_gives_the_same_bytes() -> None:
    sheet, start, card = printed("connect-va")
    assert render_card(sheet, as_of=AS_OF, start=start).pdf == card.pdf
    assert start_in(demo.workspace(), report(), sheet) == start


def test_the_hash_is_that_of_the_words_alone() -> None:
    """The drawing follows from the set and the start, which an approval is bound to by the model's own hash."""
    assert printed("connect-va")[0].hash == sheet_of("connect-va").hash


def test_in_german_it_is_german() -> None:
    _, _, card = printed("connect-va", "de")
    assert not card.findings
    first = page_texts(card.pdf)[0]
    assert "Sieht Ihr System so aus?" in first
    assert "Schläuche ohne Angabe: luftfrei." in first
    assert "Rückgabeklemme" in first
    assert "match" not in first
    (alt,) = [one for one in figures(card.pdf) if "Vor der ersten Zeile." in one]
    assert "Pumpenkopf: luftfrei" in alt


def test_what_would_be_too_small_is_left_out_and_said() -> None:
    far = replace(demo.workspace(), unit=replace(demo.workspace().unit, reading_distance=quantity("1", "m")))
    sheet = sheet_of("connect-va", space=far)
    card = render_card(sheet, as_of=AS_OF, start=start_in(far, report(), sheet))
    (found,) = [one for one in card.findings if one.code == "SW408"]
    assert "4.7 mm is the least at 100 cm" in found.message
    assert "match" not in " ".join(page_texts(card.pdf))


def test_at_a_short_distance_it_is_made_smaller_rather_than_put_on_another_page() -> None:
    near = replace(demo.workspace(), unit=replace(demo.workspace().unit, reading_distance=quantity("40", "cm")))
    sheet = sheet_of("zero-fluid-line", space=near)
    card = render_card(sheet, as_of=AS_OF, start=start_in(near, report(), sheet))
    assert not card.findings
    assert "As it is before the first line." in page_texts(card.pdf)[0]
    sizes = {round(float(str(char["size"])), 2) for char in characters(card.pdf) if not slanted(char)}
    assert min(size for size in sizes if size < 9.9) * default_engine().main_font.cap_height * POINT_MM >= 1.86


@pytest.mark.parametrize("name", ["zero-fluid-line", "prime-adult"])
def test_at_a_greater_distance_it_has_a_page_of_its_own(name: str) -> None:
    far = replace(demo.workspace(), unit=replace(demo.workspace().unit, reading_distance=quantity("70", "cm")))
    sheet = sheet_of(name, space=far)
    card = render_card(sheet, as_of=AS_OF, start=start_in(far, report(), sheet))
    assert not card.findings
    first, second = page_texts(card.pdf)[:2]
    assert "See overleaf before the first line." in " ".join(first.split())
    assert "As it is before the first line." in " ".join(second.split())
    sizes = {
        round(float(str(char["size"])), 2)
        for char in characters(card.pdf)
        if char["page_number"] == 2
        and not slanted(char)
        and float(str(char["size"])) > 10.01
        and float(str(char["top"])) > 45
    }
    assert min(sizes) * default_engine().main_font.cap_height * POINT_MM >= 3.255


def test_two_permitted_starts_are_both_said() -> None:
    entry = next(one for one in report().procedures if one.procedure == "connect-va")
    starts = (*entry.starts, next(one.after for one in entry.pictures if one.after != entry.starts[0]))
    given = replace(report(), procedures=(replace(entry, starts=starts),))
    sheet = sheet_of("connect-va")
    start = start_in(demo.workspace(), given, sheet)
    assert start is not None
    told = " ".join(page_texts(render_card(sheet, as_of=AS_OF, start=start).pdf)[:2])
    assert ("In a frame: either is right." in told) == bool(start.drawing.unsure)
    assert any(" or " in words for _, words in start.drawing.beside) or start.drawing.unsure
