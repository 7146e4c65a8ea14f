"""The tool's own words in other languages: none is missing, none is left over, none has lost a slot."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import polib
import pytest

from stepwell.circuit.fact_table import FACTS
from stepwell.circuit.kinds import PART_KINDS
from stepwell.model.language import ENGLISH, MARK
from stepwell.render.cards.template_words import TEMPLATE_WORDS
from stepwell.resources import data_dir, package_dir
from stepwell.source.read_fixed_words import FOLDER, fixed_words, languages
from tests.demo import ROOT

GERMAN = fixed_words("de")
CARD_TEMPLATE = data_dir("site_templates") / "card"
PAGES = data_dir("site_templates") / "site" / "pages"
SLOT = re.compile(r"\{\w+\}")


def said_in_python() -> Iterator[tuple[str, str]]:
    """Every text that is handed to ``say`` as it stands: (module, text)."""
    for path in sorted((ROOT / "toolkit" / "stepwell").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            name = getattr(node.func, "attr", getattr(node.func, "id", "")) if isinstance(node, ast.Call) else ""
            if name != "say" or not isinstance(node, ast.Call):
                continue
            texts = [arg.value for arg in node.args if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]
            if texts and not (len(texts) < len(node.args) and len(node.args) == 2):
                yield path.name, texts[-1]


def said_on_pages() -> Iterator[tuple[str, str]]:
    for path in sorted(PAGES.glob("*.html")):
        for text in re.findall(r"""\bt\("((?:[^"\\]|\\.)*)\"""", path.read_text(encoding="utf-8")):
            yield path.name, text


@pytest.mark.parametrize("code", [code for code in languages() if code != "en"])
def test_a_catalogue_is_whole_and_keeps_its_slots(code):
    entries = polib.pofile((package_dir(FOLDER) / f"{code}.po").read_text(encoding="utf-8"), check_for_duplicates=True)
    assert entries.metadata["Language"] == code
    assert not [entry.msgid for entry in entries if entry.fuzzy or entry.obsolete or not entry.msgstr]
    assert not [entry.msgid for entry in entries if sorted(SLOT.findall(entry.msgid)) != sorted(SLOT.findall(entry.msgstr))]
    assert not [entry.msgid for entry in entries if entry.msgid.endswith(" ") != entry.msgstr.endswith(" ")]


def test_whatever_is_said_has_its_german():
    known = {english for _, english in GERMAN.words}
    assert not [(where, text) for where, text in said_in_python() if text not in known]


def test_pages_say_nothing_that_has_no_german():
    assert not [(where, text) for where, text in said_on_pages() if ("site", text) not in GERMAN.words]


def test_the_card_template_looks_up_only_what_it_is_given():
    source = "".join(path.read_text(encoding="utf-8") for path in sorted(CARD_TEMPLATE.glob("*.typ")))
    asked = set(re.findall(r"""\b(?:w|woven)\("([^"]+)\"""", source))
    assert asked == set(TEMPLATE_WORDS)
    assert not [text for text in TEMPLATE_WORDS if ("card", text) not in GERMAN.words]


def test_every_fact_state_and_kind_has_its_german():
    facts = {sentence for fact in FACTS for sentence in (fact.yes, fact.no)}
    choices = {word for fact in FACTS for arg in fact.args for word in arg.choices}
    states = {word.replace("-", " ") for kind in PART_KINDS for word, _ in kind.states}
    kinds = {kind.name.replace("-", " ") for kind in PART_KINDS} | {word for kind in PART_KINDS for word, _ in kind.traits}
    wanted = [("fact", facts), ("state", choices | states), ("kind", kinds | {"part"})]
    assert not [(where, word) for where, words in wanted for word in sorted(words) if (where, word) not in GERMAN.words]


def test_no_german_word_is_left_over():
    source = "".join(
        path.read_text(encoding="utf-8")
        for folder in (ROOT / "toolkit" / "stepwell", data_dir("site_templates"))
        for path in sorted(folder.rglob("*"))
        if path.suffix in (".py", ".typ", ".html", ".js")
    )
    plain = source.replace("\\'", "'")

    generated = {"joined to {part}", "connected to {part}"}
    left = [
        (where, english)
        for where, english in GERMAN.words
        if where in ("card", "site", "sentence", "sheet") and english not in generated and english not in plain
    ]
    assert not left


def test_a_word_without_german_stands_in_english_and_says_so():
    assert GERMAN.say("card", "No such word {x}.", x="a") == f"{MARK}No such word a."
    assert ENGLISH.say("card", "No such word {x}.", x="a") == "No such word a."
    assert fixed_words("xx").say("card", "END") == f"{MARK}END"


def test_numbers_and_days_follow_the_language():
    from datetime import date

    assert GERMAN.number("at 3.5 L/min. Then 0.25 bar, 1500 rpm.") == "at 3,5 L/min. Then 0,25 bar, 1500 rpm."
    assert ENGLISH.number("3.5 L/min") == "3.5 L/min"
    assert (GERMAN.day(date(2026, 3, 9)), ENGLISH.day(date(2026, 3, 9))) == ("09.03.2026", "2026-03-09")


def test_paths_are_where_they_are_looked_for():
    assert Path(package_dir(FOLDER) / "de.po").is_file()
