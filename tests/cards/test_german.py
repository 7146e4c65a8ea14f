"""A card in German: what is on the page, and that whatever is not confirmed says so on its face."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache

import pikepdf
import pytest

from stepwell.model.translation import Translation
from stepwell.model.workspace import Workspace
from stepwell.publish.build import build_sheet
from stepwell.publish.sheet import Sheet, lines_of, spoken
from stepwell.publish.translated import in_language, language_of
from stepwell.render.cards.render import CardResult, render_card
from stepwell.source.read_fixed_words import fixed_words
from tests import demo
from tests.cards.made import page_texts
from tests.cards.test_text import in_reading_order, squeezed
from tests.publish.bench import AS_OF

EMERGENCIES = [one.id for one in demo.workspace().procedures if one.kind.value == "emergency"]
CARDS = (*EMERGENCIES, "connect-va")


def sheet_of(name: str, space: Workspace | None = None, code: str = "de") -> Sheet:
    given = space or demo.workspace()
    language = language_of(given, fixed_words(code))
    there = in_language(given, language)
    procedure = next(one for one in there.procedures if one.id == name)
    return build_sheet(there, procedure, None, AS_OF, language=language)


@cache
def german(name: str) -> tuple[Sheet, CardResult]:
    sheet = sheet_of(name)
    return sheet, render_card(sheet, as_of=AS_OF)


def with_entries(change: dict[str, str | None]) -> Workspace:
    """The demo with German words put in the place of others, by their English; None takes an entry away."""
    space = demo.workspace()
    texts = tuple(
        replace(one, words=change.get(one.english) or one.words)
        for one in space.translations[0].texts
        if change.get(one.english, "") is not None
    )
    return replace(space, translations=(Translation(language="de", texts=texts),))


@pytest.mark.parametrize("name", CARDS)
def test_the_text_of_the_card_is_that_of_the_sheet_step_by_step(name: str) -> None:
    sheet, card = german(name)
    text, at = squeezed(in_reading_order(card.pdf)), 0
    for line in lines_of(sheet.items):
        found = text.find(squeezed(spoken(line.text)), at)
        assert found >= 0, f"{line.id} is missing or out of order"
        at = found + 1
        for expected in line.expect:
            assert squeezed(spoken(expected.value)) in text[at:]


@pytest.mark.parametrize("name", CARDS)
def test_no_fixed_word_of_english_is_left_on_a_translated_card(name: str) -> None:
    _, card = german(name)
    text = " ".join(page_texts(card.pdf))
    words = {english for where, english in fixed_words("de").words if where in ("card", "sentence", "fact")}
    same = {said for (_, english), said in fixed_words("de").words.items() if english == said}
    shown = [word for word in words - same if len(word) > 6 and "{" not in word and f" {word} " in f" {text} "]
    assert shown == []
    for phrase in ("Use when", "Page", "is shut", "is open", "If not", "Where", "Copy of", "END", "Because", "HOLD", "EN"):
        assert not re.search(rf"\b{phrase}\b", text), phrase


def test_it_says_in_german_that_it_is_a_draft_and_what_it_is_not() -> None:
    _, card = german("air-in-circuit")
    (text,) = page_texts(card.pdf)
    for phrase in ("ENTWURF - NICHT VERWENDEN", "NOTFALLKARTE", "Kein Medizinprodukt.", "Seite 1 von 1", "Stand 25.11.2026"):
        assert phrase in text


def test_the_document_is_marked_as_german() -> None:
    with pikepdf.open(io.BytesIO(german("air-in-circuit")[1].pdf)) as pdf:
        assert str(pdf.Root.Lang) == "de"
    assert german("air-in-circuit")[1].pages == 1


def test_every_emergency_card_is_one_side_and_nothing_is_wrong_with_it() -> None:
    for name in EMERGENCIES:
        _, card = german(name)
        assert card.pages == 1
        assert [one.rule for one in card.findings if one.severity > 1] == []


def test_a_line_that_is_not_confirmed_stands_in_english_with_its_mark_and_is_counted() -> None:
    space = with_entries({"Turn {gas} off.": None, "Pull the gas line off.": None})
    sheet = sheet_of("air-in-circuit", space)
    assert sheet.in_english == 2
    (text,) = page_texts(render_card(sheet, as_of=AS_OF).pdf)
    assert "2 Zeilen sind nicht übersetzt oder nicht bestätigt; sie stehen auf Englisch." in text
    assert "[EN] Turn Spülgas off." in text
    assert "[EN] Pull the gas line off." in text


def test_a_label_that_is_missing_is_marked_wherever_it_stands() -> None:
    sheet = sheet_of("air-in-circuit", with_entries({"sweep gas": None}))
    assert sheet.in_english == 1
    (text,) = page_texts(render_card(sheet, as_of=AS_OF).pdf)
    assert "1 Zeile ist nicht übersetzt" in text
    assert "[EN] sweep gas abstellen." in text


def test_a_language_without_any_translation_is_marked_from_end_to_end() -> None:
    space = replace(demo.workspace(), translations=())
    sheet = sheet_of("air-in-circuit", space)
    assert sheet.in_english > 15
    assert all(spoken(line.text).startswith("[EN] ") for line in lines_of(sheet.items))
    french = sheet_of("air-in-circuit", space, "fr")
    assert french.use.startswith("[EN] ")


def test_the_hash_changes_with_the_words_and_not_with_the_count() -> None:
    whole = sheet_of("air-in-circuit")
    other = sheet_of("air-in-circuit", with_entries({"Turn {gas} off.": "{gas} schließen."}))
    assert whole.hash != other.hash
    assert sheet_of("air-in-circuit", code="en").hash != whole.hash


def test_english_is_the_same_with_and_without_a_translation() -> None:
    bare = replace(demo.workspace(), translations=())
    for name in CARDS:
        assert sheet_of(name, code="en") == sheet_of(name, bare, "en")
