"""Translations: what is handed out and merged, what is refused and where, and that nothing unsure is taken for confirmed."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from stepwell.model.texts import PlacedText, cut, names_in, texts_of, with_texts, written
from stepwell.source.merge_po import merge
from stepwell.source.po_file import PoFile, PoProblemError, parse_po, po_text
from stepwell.source.read_translation import figures
from stepwell.source.workspace import Loaded, load_workspace
from tests import demo
from tests.source.bench import GOOD

HEAD = 'msgid ""\nmsgstr ""\n"Language: de\\n"\n\n'


def unit(tmp_path: Path, po: str | bytes, name: str = "de.po") -> Loaded:
    """The good unit with one translation."""
    root = tmp_path / "unit"
    shutil.copytree(GOOD, root)
    path = root / "unit.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("languages: [en]", "languages: [en, de]"), encoding="utf-8")
    (root / "translations").mkdir()
    data = po.encode() if isinstance(po, str) else po
    (root / "translations" / name).write_bytes(data)
    return load_workspace(root)


def entry(context: str, english: str, words: str, flags: str = "") -> str:
    return f'{flags}msgctxt "{context}"\nmsgid "{english}"\nmsgstr "{words}"\n\n'


def first_say() -> PlacedText:
    loaded = load_workspace(GOOD)
    assert loaded.workspace is not None
    return next(one for one in texts_of(loaded.workspace) if one.place.slot == "say" and "{" in one.words)


def told(loaded: Loaded) -> list[tuple[str, int]]:
    return [(finding.code, finding.span.line if finding.span else 0) for finding in loaded.findings]


# ---- What is handed out ----


def test_every_text_is_handed_out_once_and_put_back_as_it_was() -> None:
    space = demo.workspace()
    assert with_texts(space, lambda place, words: cut(written(words), words)) == space
    slots = {one.place.slot for one in texts_of(space)}
    assert slots >= {
        "say",
        "if-not",
        "why",
        "hazard",
        "title",
        "use-when",
        "stage",
        "hold",
        "abort",
        "label",
        "place",
        "role",
    }
    assert {one.place.context for one in texts_of(space) if one.place.slot == "say"} <= {
        step for one in space.procedures for step in _ids(one.body)
    }


def _ids(body: object) -> set[str]:
    from stepwell.model.procedure import steps_of

    return {step.id for step in steps_of(body)}  # type: ignore[arg-type]


def test_the_demo_is_translated_whole_and_its_file_is_as_the_verb_writes_it() -> None:
    space = demo.workspace()
    text = (demo.PROTOCOLS / "translations" / "de.po").read_text(encoding="utf-8")
    file = parse_po(text)
    assert po_text(merge(file, texts_of(space), "de")) == text
    assert not [one for one in file.entries if one.fuzzy or one.obsolete or not one.words]
    assert len(space.translations[0].texts) == len(file.entries)


# ---- Merging ----

SAY = PlacedText(place=replace(first_say().place, context="k7f3", slot="say", owner="fill-set"), words="Open {vent}.")
WHY = PlacedText(place=replace(SAY.place, slot="why"), words="Air leaves here.")


def merged(old: PoFile, *texts: PlacedText) -> PoFile:
    file = merge(old, texts, "de")
    again = merge(parse_po(po_text(file)), texts, "de")
    assert po_text(again) == po_text(file), "merging twice changes the file"
    return file


def translated(*pairs: tuple[PlacedText, str]) -> PoFile:
    file = merge(PoFile(), [text for text, _ in pairs], "de")
    words = dict(zip([one.words for one, _ in pairs], [said for _, said in pairs], strict=True))
    return replace(file, entries=tuple(replace(one, words=words[one.english]) for one in file.entries))


def test_a_changed_text_keeps_its_translation_as_unsure_with_what_it_was_made_for() -> None:
    old = translated((SAY, "{vent} öffnen."), (WHY, "Hier entweicht Luft."))
    file = merged(old, replace(SAY, words="Open {vent} fully."), WHY)
    first, second = file.entries
    assert (first.words, first.fuzzy, first.previous) == ("{vent} öffnen.", True, "Open {vent}.")
    assert (second.words, second.fuzzy) == ("Hier entweicht Luft.", False)


def test_changed_twice_it_still_says_what_it_was_made_for() -> None:
    once = merged(translated((SAY, "{vent} öffnen.")), replace(SAY, words="Open {vent} fully."))
    twice = merged(once, replace(SAY, words="Open {vent} as far as it goes."))
    assert [(one.fuzzy, one.previous) for one in twice.entries] == [(True, "Open {vent}.")]


def test_a_text_that_goes_is_kept_and_comes_back() -> None:
    gone = merged(translated((SAY, "{vent} öffnen."), (WHY, "Hier entweicht Luft.")), SAY)
    assert [(one.english, one.obsolete) for one in gone.entries] == [("Open {vent}.", False), ("Air leaves here.", True)]
    back = merged(gone, SAY, WHY)
    assert [(one.words, one.obsolete, one.fuzzy) for one in back.entries][1] == ("Hier entweicht Luft.", False, False)


def test_one_text_never_takes_the_translation_of_another_place() -> None:
    file = merged(
        translated((SAY, "{vent} öffnen.")), replace(SAY, place=replace(SAY.place, context="m2q8"), words="Shut it.")
    )
    assert [(one.context, one.words, one.obsolete) for one in file.entries] == [
        ("m2q8", "", False),
        ("k7f3", "{vent} öffnen.", True),
    ]
    other_slot = merged(translated((SAY, "{vent} öffnen.")), WHY)
    assert other_slot.entries[0].words == ""


def test_notes_and_head_of_a_translator_are_kept() -> None:
    old = replace(translated((SAY, "{vent} öffnen.")), head=(("Language", "de"), ("Last-Translator", "the perfusionist")))
    old = replace(old, entries=tuple(replace(one, note="asked the lead") for one in old.entries))
    text = po_text(merged(old, SAY))
    assert "Last-Translator: the perfusionist" in text
    assert "# asked the lead" in text


# ---- Hostile files ----

HOSTILE = {
    'msgid "never closed\nmsgstr "x"\n': (1, "never closed"),
    HEAD + 'msgctxt "a"\nmsgid "b"\nmsgstr "x" junk\n': (7, "one text in quotes"),
    HEAD + 'msgctxt "a"\nmsgstr "x"\n': (6, "`msgstr` stands here after `msgctxt`"),
    HEAD + 'msgctxt "a"\nmsgid "b"\n': (5, "ends after `msgid`"),
    HEAD + 'msgctxt "a"\n': (5, "ends after `msgctxt`"),
    HEAD + 'msgid "b"\nmsgstr[0] "x"\n': (6, "stands here after"),
    HEAD + "garbage\n": (5, "no comment, no keyword"),
    '"a text before everything"\n': (1, "without a keyword"),
    HEAD + "#~ junk\n": (5, "not written as a gettext file"),
}


@pytest.mark.parametrize("text", HOSTILE)
def test_what_is_no_gettext_file_is_told_at_its_line(text: str, tmp_path: Path) -> None:
    line, said = HOSTILE[text]
    with pytest.raises(PoProblemError) as caught:
        parse_po(text)
    assert (caught.value.line, said in str(caught.value)) == (line, True), str(caught.value)
    loaded = unit(tmp_path, text)
    assert told(loaded) == [("TR001", line)]
    assert loaded.workspace is not None
    assert loaded.workspace.translations[0].texts == ()
    assert not any(finding.unusable for finding in loaded.findings), "a bad translation must not take the English away"


@pytest.mark.parametrize("data", [b"\xff\xfem\x00s\x00", b"\x00\x01\x02", b"\xffmsgid", b"", b"x" * (1024 * 1024 + 2)])
def test_bytes_that_are_no_text_take_nothing_away(data: bytes, tmp_path: Path) -> None:
    loaded = unit(tmp_path, data)
    assert loaded.workspace is not None
    assert all(not one.texts for one in loaded.workspace.translations)
    assert not any(finding.unusable for finding in loaded.findings)


# ---- What is wrong with an entry ----


def of_first_say(tmp_path: Path, words: str, flags: str = "") -> Loaded:
    first = first_say()
    return unit(tmp_path, HEAD + entry(first.place.context, first.words, words, flags))


def used(loaded: Loaded) -> int:
    assert loaded.workspace is not None
    return sum(len(one.texts) for one in loaded.workspace.translations)


def test_a_name_that_is_lost_or_put_in_is_found_and_not_printed(tmp_path: Path) -> None:
    name = names_in(first_say().words)[0]
    for number, (words, said) in enumerate(
        ((f"Öffnen {name}.", "loses"), (f"{{{name}}} und {{pump}}.", "puts in"), (f"{{{name}}} }}.", "brace"))
    ):
        loaded = of_first_say(tmp_path / str(number), words)
        assert told(loaded) == [("TR005", 5)]
        assert said in loaded.findings[0].message
        assert used(loaded) == 0
    assert used(of_first_say(tmp_path / "good", f"{{{name}}} öffnen.")) == 1


def test_a_figure_or_unit_that_changes_is_found() -> None:
    assert figures("at 3.5 L/min for 10 min, 4 clamps, {t2} and T1") == [("3.5", "L/min"), ("10", "min"), ("4", "")]
    assert figures("weniger als 14 Tage") == figures("less than 14 days")


@pytest.mark.parametrize(
    ("english", "words", "fine"),
    [
        ("Set 2.5 L/min.", "2,5 L/min einstellen.", True),
        ("Set 2.5 L/min.", "2.5 L/min einstellen.", False),
        ("Set 2.5 L/min.", "2,5 mL/min einstellen.", False),
        ("Set 2.5 L/min.", "25 L/min einstellen.", False),
        ("Set 2.5 L/min.", "Fluss einstellen.", False),
        ("Set the flow.", "Fluss auf 3 stellen.", False),
        ("1500 rpm, then 3000 rpm", "erst 1500 rpm, dann 3000 rpm", True),
        ("1500 rpm, then 3000 rpm", "1.500 rpm, dann 3.000 rpm", False),
    ],
)
def test_figures_are_the_same_after_the_decimal_comma(english: str, words: str, fine: bool) -> None:
    from stepwell.source.notes import Notes
    from stepwell.source.read_fixed_words import fixed_words
    from stepwell.source.read_translation import read_translation

    notes = Notes("de.po")
    found = read_translation(HEAD + entry("k7f3", english, words), notes, fixed_words("de"), {"k7f3": {english}}, "de")
    assert (len(found.texts) == 1, [one.code for one in notes.findings]) == (fine, [] if fine else ["TR006"])


def test_what_does_not_belong_is_told_and_not_used(tmp_path: Path) -> None:
    first = first_say()
    good = entry(first.place.context, first.words, "".join(f"{{{n}}} " for n in names_in(first.words)) + "öffnen.")
    cases = {
        HEAD + entry("zz99", "Open it.", "Öffnen."): ("TR003", 5),
        HEAD + entry(first.place.context, "Old words.", "Alte Worte."): ("TR004", 5),
        HEAD + good + good: ("TR007", 9),
        HEAD + 'msgctxt "a"\nmsgid "b"\nmsgid_plural "bs"\nmsgstr[0] "x"\nmsgstr[1] "y"\n': ("TR008", 5),
        HEAD.replace("de", "fr") + good: ("TR002", 1),
        good: ("TR002", 1),
    }
    for number, (text, expected) in enumerate(cases.items()):
        loaded = unit(tmp_path / str(number), text)
        assert told(loaded) == [expected], text
        assert used(loaded) == (1 if expected[0] == "TR007" else 0)


def test_a_language_that_the_unit_does_not_list_is_told(tmp_path: Path) -> None:
    loaded = unit(tmp_path, HEAD.replace("de", "fr"), "fr.po")
    assert [finding.rule for finding in loaded.findings] == ["translation-not-listed"]


def test_what_is_fuzzy_or_empty_is_not_confirmed(tmp_path: Path) -> None:
    words = "".join(f"{{{name}}} " for name in names_in(first_say().words)) + "öffnen."
    assert used(of_first_say(tmp_path / "fuzzy", words, "#, fuzzy\n")) == 0
    assert used(of_first_say(tmp_path / "empty", "")) == 0
    assert used(of_first_say(tmp_path / "sure", words)) == 1
