"""What stands on the card, read back from the PDF."""

import re
from dataclasses import replace

import pytest

from stepwell.model.procedure import Condition, Hold, Stage, Step
from stepwell.publish.sheet import ReleaseMark, StatusLine, lines_of, spoken
from stepwell.render.cards.fonts import POINT_MM
from stepwell.render.cards.render import render_card
from tests.cards.made import card_of, characters, made, page_texts, sheet_of, slanted
from tests.publish.bench import AS_OF, emergency, fact, routine, say

BOTH = pytest.mark.parametrize("name", ["emergency", "routine"])


def in_reading_order(pdf: bytes) -> str:
    """The words in the order of the page's own text stream, which is also what a screen reader gets."""
    return " ".join("".join(str(char["text"]) for char in characters(pdf) if not slanted(char)).split())


def squeezed(text: str) -> str:
    return re.sub(r"\s", "", text)


@BOTH
def test_every_step_is_there_in_order(name):
    sheet, card = made(name)
    text, at = squeezed(in_reading_order(card.pdf)), 0
    for line in lines_of(sheet.items):
        found = text.find(squeezed(spoken(line.text)), at)
        assert found >= 0, f"{line.id} is missing or out of order"
        at = found + 1
        for expected in line.expect:
            assert squeezed(spoken(expected.value)) in text[at:]


@BOTH
def test_every_page_carries_title_id_version_code_and_its_number(name):
    sheet, card = made(name)
    pages = page_texts(card.pdf)
    assert len(pages) == card.pages
    for number, text in enumerate(pages, 1):
        assert f"{sheet.title}, {sheet.id} {sheet.version}" in text
        assert f"Page {number} of {len(pages)}" in text
        assert f"Code {sheet.short_hash}" in text
        assert "Paper may be out of date" in text
        assert "Not a medical device." in text
        assert "inspected 2026-10-01" in text


@BOTH
def test_the_draft_mark_is_on_every_page_twice(name):
    _, card = made(name)
    for text in page_texts(card.pdf):
        assert text.count("DRAFT - NOT FOR USE") == 1
    across = squeezed("".join(str(char["text"]) for char in characters(card.pdf) if slanted(char)))
    assert across == "DRAFT-NOTFORUSE" * card.pages


def test_a_released_card_has_dates_and_no_draft_mark():
    release = ReleaseMark(approved=AS_OF, effective=AS_OF.replace(day=28), review=AS_OF.replace(year=2027))
    sheet = replace(sheet_of(emergency(), release), status=StatusLine(draft=False, reasons=()))
    card = render_card(sheet, as_of=AS_OF)
    (text,) = page_texts(card.pdf)
    assert "Mind:" not in text
    assert "DRAFT" not in text
    assert "Effective 2026-11-28. Review by 2027-11-25." in text
    assert not any(slanted(char) for char in characters(card.pdf))


def test_a_released_card_says_on_its_face_what_is_to_be_minded():
    release = ReleaseMark(approved=AS_OF, effective=AS_OF)
    text = page_texts(card_of(routine(), release).pdf)[0]
    assert "Mind: order not checked." in text
    assert "DRAFT" not in text


@BOTH
def test_capitals_are_large_enough_everywhere_but_in_the_furniture(name):
    sheet, card = made(name)
    sizes = {round(float(char["size"]), 2) for char in characters(card.pdf)}
    # 10 pt is the footer's and the header's; role marks and the signs in shapes are set in detail size or close to it.
    assert min(sizes) >= 9.99
    body = [
        float(char["size"])
        for char in characters(card.pdf)
        if "Regular" in str(char["fontname"]) and float(char["size"]) > 10.01
    ]
    assert min(body) * 0.668 * POINT_MM >= sheet.reading_distance_mm * 0.004654 - 0.01


def test_routine_lines_are_set_at_the_preferred_size():
    sheet, card = made("routine")
    assert card.sizes.main * 0.668 * POINT_MM == pytest.approx(3.49, abs=0.01)
    assert sheet.reading_distance_mm == 600


def test_reading_distance_sets_the_size():
    from stepwell.publish.build import build_sheet
    from stepwell.render.cards.render import render_card
    from tests.publish.bench import quantity, workspace

    space = workspace(routine())
    far = replace(space, unit=replace(space.unit, reading_distance=quantity("1", "m")))
    card = render_card(build_sheet(far, routine(), None, AS_OF), as_of=AS_OF)
    assert card.sizes.main == pytest.approx(24.7, abs=0.05)


def test_no_page_calls_anything_safe():
    for name in ("emergency", "routine"):
        assert "safe" not in " ".join(page_texts(made(name)[1].pdf)).lower()


def test_page_ends_offer_a_stop_only_beside_a_hold():
    pages = page_texts(made("routine")[1].pdf)
    assert len(pages) > 1
    for text in pages[:-1]:
        said = [words in text for words in ("A place to stop.", "without a stop.", "Goes on overleaf.")]
        assert said.count(True) == 1


def test_a_page_that_ends_elsewhere_says_to_go_on():
    read = replace(steps(1, "zz")[0], expect=(Condition(predicate=fact("shut", "return-clamp")),))
    stages = [Stage(title=f"Stage {n}", body=(*steps(9, f"{n}x"), replace(read, id=f"z{n}zz"))) for n in (1, 2)]
    (first, _) = page_texts(card_of(replace(routine(), kit=(), body=tuple(stages))).pdf)
    assert "Go on overleaf without a stop. Interrupted? Before going on, check again: return clamp is shut." in first
    assert "Stopped at" not in first


def test_a_stop_behind_a_hold_repeats_what_the_hold_asks():
    hold = next(item for item in routine().body if isinstance(item, Hold))
    stages = [Stage(title=f"Stage {n}", body=steps(7, f"{n}x")) for n in (1, 2)]
    pages = page_texts(card_of(replace(routine(), kit=(), body=(stages[0], hold, stages[1]))).pdf)
    assert "A place to stop. Before going on, check again: oxygenator is filled; oxygenator vent is shut." in pages[0]


def test_a_place_is_printed_once_in_a_block():
    given = replace(emergency(), body=(Stage(title="Twice", body=steps(2, "tt")),))
    (text,) = page_texts(card_of(given).pdf)
    assert text.count("red, at the table edge") == 1


def steps(count, stem):
    return tuple(Step(id=f"{stem}{n:02}", who="primer", say=say("Shut {return-clamp}.")) for n in range(count))


def test_the_last_thing_is_the_call_and_the_end_mark():
    sheet, card = made("routine")
    last = page_texts(card.pdf)[-1]
    assert f"Call out: “{spoken(sheet.done_call)}” END" in last


def test_an_emergency_card_says_when_to_use_it_and_leaves_the_state_it_starts_from_to_its_page() -> None:
    given = replace(emergency(), starts=routine().starts)
    assert sheet_of(given).starts
    (text,) = page_texts(card_of(given).pdf)
    assert "Use when:" in text
    assert "Start from:" not in text
    assert "Start from:" in page_texts(made("routine")[1].pdf)[0]
