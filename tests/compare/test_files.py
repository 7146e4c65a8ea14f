"""What is beside the model: translations entry by entry, any other file line by line."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date

import pytest

from stepwell.compare.between import Files, edits_between
from stepwell.compare.edits import Edit
from stepwell.compare.meaning import Side, compare
from stepwell.compare.translations import translation
from stepwell.publish.sheet import lines_of, spoken
from stepwell.render.compare.copy import copies_of
from stepwell.render.compare.text import render_compare
from stepwell.render.text.look import Look
from tests import demo
from tests.cards.test_german import sheet_of

PO = """\
msgid ""
msgstr "Language: de\\n"

# what the nurse reads
msgctxt "b7mx.say"
msgid "Shut {drain-clamp}."
msgstr "Klemme {drain-clamp} "
"schließen."

#, fuzzy
msgctxt "c2wq.say"
msgid "Part the ends."
msgstr "Enden trennen."
"""


def edits(old: str, new: str, name: str = "translations/de.po") -> list[Edit]:
    files: tuple[Files, Files] = (((name, old),), ((name, new),))
    found = edits_between(demo.workspace(), demo.workspace(), files)
    assert found.undisclosed == ()
    return list(found.edits)


def test_the_same_translation_in_other_lines_is_the_same() -> None:
    assert edits(PO, PO.replace('"Klemme {drain-clamp} "\n"schließen."', '"Klemme {drain-clamp} schließen."')) == []


def test_a_translated_line_changes() -> None:
    found = edits(PO, PO.replace("Enden trennen.", "Die Enden trennen."))
    assert [(one.sort.value, one.item, one.field, one.weaker) for one in found] == [
        ("changed", "translation-entry:c2wq.say", "msgstr", ())
    ]


def test_a_translation_goes_or_is_no_longer_sure() -> None:
    found = edits(PO, PO.replace('msgstr "Enden trennen."', 'msgstr ""'))
    assert found[0].weaker == ("the translation is taken away",)
    found = edits(PO.replace("#, fuzzy\n", ""), PO)
    assert found[0].weaker == ("the translation is no longer sure",)


def test_a_comment_of_a_translation_is_not_passed_over() -> None:
    assert [one.field for one in edits(PO, PO.replace("what the nurse reads", "read by the nurse"))] == ["other-lines"]


def test_texts_of_one_step_are_told_by_what_they_translate() -> None:
    more = PO + '\nmsgctxt "c2wq.say"\nmsgid "Air leaves here."\nmsgstr "Hier tritt Luft aus."\n'
    found = edits(more, more.replace("Hier tritt", "Dort tritt"))
    assert [one.item for one in found] == ["translation-entry:c2wq.say: Air leaves here."]
    before = more.replace(
        'msgctxt "c2wq.say"\nmsgid "Air', 'msgctxt "c2wq.say"\nmsgid "Look."\nmsgstr ""\n\nmsgctxt "c2wq.say"\nmsgid "Air'
    )
    assert [(one.sort.value, one.item) for one in edits(more, before)] == [("added", "translation-entry:c2wq.say: Look.")]


def test_a_print_in_another_language_is_told_where_the_card_itself_is_as_it_was() -> None:
    one = demo.workspace()
    name = one.procedures[0].id
    sides = [
        Side(name="it", workspace=one, checked={}, slips={}, hashes={name: "same"}, translated={"de": {name: text}})
        for text in ("alt", "neu")
    ]
    found = compare(sides[0], sides[1], as_of=date(2026, 11, 25), slips=False)
    assert [(card.procedure, card.language) for card in found.cards] == [(name, "de")]
    assert "in the language de: what is printed differs" in render_compare(found, Look(width=200))
    assert "some of it is missing or not confirmed, so it is a draft" in render_compare(found, Look(width=300))
    changed = compare(sides[0], replace(sides[1], hashes={name: "other"}), as_of=date(2026, 11, 25), slips=False)
    assert [(card.procedure, card.language) for card in changed.cards] == [(name, "")]


def test_the_languages_of_a_changed_card_are_named() -> None:
    """What is whole in another language is agreed to and printed with the card; what is not stays a draft."""
    one = demo.workspace()
    name = one.procedures[0].id
    old, new = (
        Side(
            name="it",
            workspace=one,
            checked={},
            slips={},
            hashes={name: text},
            translated={"de": {name: text}, "fr": {name: text}},
            whole={"de": frozenset({name})},
        )
        for text in ("before", "after")
    )
    found = compare(old, new, as_of=date(2026, 11, 25), slips=False)
    (card,) = found.cards
    assert (card.also, card.drafts) == (("de",), ("fr",))
    said = render_compare(found, Look(width=400))
    assert "agreed to and printed in en and de" in said
    assert "a draft in fr, where some of it is missing or not confirmed" in said
    sheets = [replace(sheet_of(name, one, code), language=code) for code in ("en", "de")]
    sheets.append(replace(sheets[1], language="fr"))
    assert [copy.name.partition(",")[2] for copy in copies_of(found, sheets)] == ["", " de"], (
        "all that is agreed to is there"
    )
    step = next(line for line in lines_of(sheets[1].items))
    other = next(line for line in lines_of(sheet_of(one.procedures[1].id, one).items))
    edits_ = [
        replace(edits(PO, PO.replace("schließen", "zudrehen"))[0], document="translation translations/de.po", item=item)
        for item in (
            f"translation-entry:{step.id}: {spoken(step.text)}",
            f"translation-entry:{other.id}",
            "translation-entry:part:none",
        )
    ]
    german = copies_of(replace(found, edits=tuple(edits_)), sheets)[1]
    assert [line.changes for line in german.lines if line.changes] == [(1,)], "beside the line whose words changed"
    assert german.changes == (), "another card's line is not told here"
    alone = replace(new, workspace=replace(one, procedures=one.procedures[1:]), hashes={}, translated={"de": {}, "fr": {}})
    gone = next(card for card in compare(old, alone, as_of=date(2026, 11, 25), slips=False).cards if card.new is None)
    assert gone.also == ("de",), "the German prints come down too"


@pytest.mark.parametrize("seed", range(60))
def test_no_change_of_a_translation_is_passed_over(seed: int) -> None:
    """A line lost, doubled, moved or cut anywhere in the file of the example unit."""
    chance = random.Random(seed)
    text = (demo.ROOT / "protocols" / "translations" / "de.po").read_text(encoding="utf-8")
    lines = text.splitlines(keepends=True)[: chance.randrange(30, 400)]
    at, there = chance.randrange(len(lines)), chance.randrange(len(lines))
    changed = list(lines)
    match chance.choice(("lose", "double", "move", "cut")):
        case "lose":
            changed.pop(at)
        case "double":
            changed.insert(there, lines[at])
        case "move":
            changed.insert(there, changed.pop(at))
        case _:
            changed[at] = changed[at][: len(changed[at]) // 2] + "\n"
    old, new = "".join(lines), "".join(changed)
    assert bool(edits(old, new)) == (translation(old) != translation(new))
    if translation(old) == translation(new):
        assert sorted(old.split()) == sorted(new.split()), "only the order of comments or the breaks of lines differ"


def test_a_translation_that_comes_without_its_file_is_compared_all_the_same() -> None:
    one = demo.workspace()
    assert one.translations
    less = replace(one.translations[0], texts=one.translations[0].texts[1:])
    found = edits_between(one, replace(one, translations=(less,)))
    assert found.undisclosed == ()
    assert [edit.kind for edit in found.edits] == ["translation"]


def test_another_file_is_told_line_by_line() -> None:
    found = edits("one\ntwo\nthree\n", "one\n2\nthree\nfour\n", "ledger/policy.txt")
    assert len(found) == 1
    assert found[0].lines == ("@@ -1,3 +1,4 @@", " one", "-two", "+2", " three", "+four")
    assert found[0].new == "4 lines: 1 gone, 2 new"
