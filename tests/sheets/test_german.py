"""The sheets in German: no English is left on them but what says so on its face."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pikepdf
import pytest
import zxingcpp

from stepwell.circuit.kinds import PART_KINDS
from stepwell.model.language import MARK
from stepwell.model.translation import Translation
from stepwell.render.cards.code import code_text
from stepwell.render.sheets.document import Document, Entry, Note, Picture
from stepwell.render.sheets.make import Source, documents
from stepwell.render.sheets.press import press
from stepwell.source.read_fixed_words import fixed_words
from tests.cards.made import page_texts, pictures
from tests.sheets.made import AS_OF, SORTS, german, german_source, in_german, made, source

EVERY = pytest.mark.parametrize("path", sorted(german()))
TRANSLATED = pytest.mark.parametrize("path", sorted(path for path in german() if not path.startswith("trainer/")))
WHERE = ("card", "sentence", "fact", "sheet", "figure", "word")


def without(*english: str) -> Source:
    """The German source with the unit's translations of these texts taken away."""
    space = source().workspace
    texts = tuple(one for one in space.translations[0].texts if one.english not in english)
    return in_german(replace(source(), workspace=replace(space, translations=(Translation(language="de", texts=texts),))))


def sheet_of(given: Source, path: str) -> Document:
    return next(one for one in documents(given, SORTS) if one.path == path)


def test_every_english_sheet_is_there_in_german_under_the_same_name() -> None:
    assert set(german()) == set(made())


@TRANSLATED
def test_no_fixed_word_of_english_is_left(path: str) -> None:
    document, result = german()[path]
    text = " ".join(page_texts(result.pdf))
    words = {english for where, english in fixed_words("de").words if where in WHERE}
    same = {said for (_, english), said in fixed_words("de").words.items() if english == said}
    # Every part of a sentence that stands between its slots, if it is long enough to be told from German.
    pieces = {piece.strip() for word in words - same for piece in re.split(r"\{\w+\}", word)}
    assert [one for one in pieces if len(one) > 6 and re.search(rf"(?<!\w){re.escape(one)}(?!\w)", text)] == []
    for phrase in (
        "Use when",
        "Page",
        "is shut",
        "code",
        "Where",
        "Copy of",
        "From",
        "times",
        "height",
        "name",
        "date",
        "EN",
    ):
        assert not re.search(rf"(?<!\w){phrase}(?!\w)", text), phrase
    assert result.in_english == 0
    assert not [block for block in document.blocks if isinstance(block, Note)]


@EVERY
def test_it_is_archivable_tagged_and_says_its_language(path: str) -> None:
    document, result = german()[path]
    with pikepdf.open(io.BytesIO(result.pdf)) as pdf:
        with pdf.open_metadata() as meta:
            assert (meta["pdfaid:part"], meta["pdfaid:conformance"], meta["pdfuaid:part"]) == ("2", "A", "1")
            assert document.title in meta["dc:title"]
        assert str(pdf.Root.Lang) == ("en" if path.startswith("trainer/") else "de")
    assert result.findings == ()


@TRANSLATED
def test_every_page_says_in_german_that_it_is_a_draft(path: str) -> None:
    told = page_texts(german()[path][1].pdf)
    for number, words in enumerate(told, start=1):
        assert "ENTWURF - NICHT VERWENDEN" in words
        assert f"Seite {number} von {len(told)}" in words


def test_index_and_labels_carry_titles_and_codes_of_the_german_cards() -> None:
    urgent = [sheet for sheet in german_source().sheets if sheet.kind == "emergency"]
    entries = [block for block in german()["index/wall.pdf"][0].blocks if isinstance(block, Entry)]
    assert [one.title for one in entries] == [sheet.title for sheet in urgent]
    assert all(sheet.short_hash in one.code for one, sheet in zip(entries, urgent, strict=True))
    pages = pictures(german()["labels/labels.pdf"][1].pdf, 150)
    read = {code.text for page in pages for code in zxingcpp.read_barcodes(page.convert("L"))}
    assert read == {code_text(sheet) for sheet in german_source().sheets}
    assert not read & {code_text(sheet) for sheet in source().sheets}


def test_a_trainers_sheet_says_in_german_that_it_is_in_english_alone() -> None:
    for path, (document, result) in german().items():
        if path.startswith("trainer/"):
            english, _ = made()[path]
            note = Note(
                words="Dieses Blatt gibt es nur auf Englisch; sein Code ist der der englischen Karte.", language="de"
            )
            assert document == replace(english, blocks=(english.blocks[0], note, *english.blocks[1:]))
            assert note.words in page_texts(result.pdf)[0]


def test_a_trainers_sheet_is_never_made_from_translated_sheets() -> None:
    with pytest.raises(ValueError, match="English sheets"):
        documents(replace(german_source(), in_english=None), ("trainer",))


def test_a_title_that_is_not_confirmed_stands_in_english_with_its_mark_and_the_sheet_says_so() -> None:
    result = press(sheet_of(without("The pump has stopped"), "index/wall.pdf"), as_of=AS_OF)
    (text,) = page_texts(result.pdf)
    assert "[EN] The pump has stopped" in text
    assert result.in_english == 1
    assert "1 Zeile ist nicht übersetzt oder nicht bestätigt; sie steht auf Englisch." in text


def test_a_label_that_is_missing_is_counted_in_tables_and_in_drawings() -> None:
    given = without("sweep gas")
    for path in ("kit/connect-va.pdf", "inspection/adult-va.pdf"):
        document = sheet_of(given, path)
        result = press(document, as_of=AS_OF)
        assert result.in_english > 0
        assert f"{MARK}sweep gas" in " ".join(page_texts(result.pdf))
        assert re.search(r"1 Zeile ist|\d+ Zeilen sind", page_texts(result.pdf)[0])
        assert any(f"{MARK}sweep gas" in block.svg for block in document.blocks if isinstance(block, Picture))


def test_what_connectors_fit_and_the_first_state_are_the_units_words() -> None:
    text = " ".join(page_texts(german()["inspection/adult-bedside.pdf"][1].pdf))
    assert "Schlauch 10" in text
    assert "Wie es in der Datei steht: ausgepackt" in text
    result = press(sheet_of(without("tubing 10", "unpacked"), "inspection/adult-bedside.pdf"), as_of=AS_OF)
    text = " ".join(page_texts(result.pdf))
    assert "[EN] tubing 10," in text
    assert "[EN] unpacked" in text
    assert "Zeilen sind nicht übersetzt" in text


def test_a_language_without_words_is_marked_from_end_to_end() -> None:
    french = in_german(source(), "fr")
    for document in documents(french, ("kit", "index", "labels", "inspection")):
        result = press(document, as_of=AS_OF)
        assert result.in_english > 5
        text = page_texts(result.pdf)[0]
        assert "[EN] DRAFT - NOT FOR USE" in text
        assert "lines are not translated or not confirmed; they stand in English." in text


def test_whatever_a_sets_file_may_say_has_its_german() -> None:
    words = fixed_words("de").words
    spoken = lambda name: name.replace("-", " ")  # noqa: E731
    figures = {("figure", spoken(one.name)) for kind in PART_KINDS for one in kind.figures}
    names = {("word", spoken(one.name)) for kind in PART_KINDS for one in kind.words}
    choices = {("word", spoken(choice)) for kind in PART_KINDS for one in kind.words for choice in one.choices}
    refs = {("kind", one.name) for kind in PART_KINDS for one in kind.refs}
    traits = {("kind", word) for kind in PART_KINDS for word, _ in kind.traits}
    assert figures | names | choices | refs | traits <= set(words)
