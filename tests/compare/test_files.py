"""What is beside the model: translations entry by entry, any other file line by line."""

from __future__ import annotations

from stepwell.compare.between import Files, edits_between
from stepwell.compare.edits import Edit
from tests import demo

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


def test_another_file_is_told_line_by_line() -> None:
    found = edits("one\ntwo\nthree\n", "one\n2\nthree\nfour\n", "ledger/policy.txt")
    assert len(found) == 1
    assert found[0].lines == ("@@ -1,3 +1,4 @@", " one", "-two", "+2", " three", "+four")
    assert found[0].new == "4 lines: 1 gone, 2 new"
