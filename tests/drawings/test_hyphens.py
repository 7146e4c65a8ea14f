"""Long words are broken with a hyphen, at a place where a reader would break them, and lines are as few as can be."""

from __future__ import annotations

import pytest

from stepwell.model.language import Language
from stepwell.publish.translated import in_language, language_of
from stepwell.render.drawings.hyphens import Hyphens, hyphens_of
from stepwell.render.drawings.place import plan_of
from stepwell.render.drawings.plan import SCREEN
from stepwell.render.drawings.type_size import broken, hyphened, two_weights, unhyphened, width_of, wrap
from stepwell.source.read_fixed_words import fixed_words
from tests import demo

GERMAN = language_of(demo.workspace(), fixed_words("de"))


def of_set(rig: str = "adult-bedside", language: Language = GERMAN) -> Hyphens:
    there = next(one for one in in_language(demo.workspace(), language).rigs if one.id == rig)
    return hyphens_of((part.label for part in there.parts), language.code)


@pytest.mark.parametrize(
    ("word", "parts"),
    [
        ("Rezirkulationsklemme", "Re-zir-ku-la-ti-ons-klem-me"),
        ("Rückgabekanüle", "Rück-ga-be-ka-nü-le"),
        ("Oxygenatorentlüftung", "Oxy-ge-na-tor-ent-lüf-tung"),
        ("verschlossen", "ver-schlos-sen"),
    ],
)
def test_german_syllables(word: str, parts: str) -> None:
    """From what a dictionary gives; breaks that leave fewer than three letters are not offered."""
    whole = [len("".join(parts.split("-")[: n + 1])) for n in range(parts.count("-"))]
    assert Hyphens("de", frozenset()).syllables(word) == tuple(at for at in whole if 3 <= at <= len(word) - 3)


@pytest.mark.parametrize(
    ("word", "broken_at"),
    [
        ("Rezirkulationsklemme", "Rezirkulations-klemme"),
        ("Drainageklemme", "Drainage-klemme"),
        ("Rückgabeklemme", "Rückgabe-klemme"),
        ("Beutelanschluss", "Beutel-anschluss"),
    ],
)
def test_compounds_are_parted_where_they_are_joined(word: str, broken_at: str) -> None:
    found = of_set().joints(word)
    assert found == (broken_at.index("-"),)


def test_words_are_known_by_the_other_labels_of_the_set() -> None:
    alone = Hyphens("de", frozenset({"rezirkulationsklemme"}))
    assert alone.joints("Rezirkulationsklemme") == ()
    assert of_set().joints("Oxygenator") == ()


def test_a_joint_is_used_only_where_it_saves_a_line() -> None:
    hyphens = of_set()
    words = "Rezirkulationsklemme: offen"
    assert wrap(words, 205.0, hyphens=hyphens) == ("Rezirkulationsklemme:", "offen")
    assert wrap(words, 135.0, hyphens=hyphens) == ("Rezirkulations-", "klemme: offen")


def test_an_author_says_where() -> None:
    words = "Rezirkula\u00adtionsklemme"
    assert wrap(words, 120.0, hyphens=of_set()) == ("Rezirkula-", "tionsklemme")
    assert wrap(words, 300.0) == (unhyphened(words),)
    assert wrap("Rezirkulations\u00adklemme und Drainage\u00adklemme", 140.0) == (
        "Rezirkulations-",
        "klemme und",
        "Drainageklemme",
    )


def test_no_word_is_broken_without_a_hyphen() -> None:
    for hyphens in (None, of_set(), Hyphens("xx", frozenset())):
        for width in (72.0, 96.0, 150.0):
            for words in ("Rezirkulationsklemme offen", "x" * 40, "Drainagekanülen-Klemme"):
                lines = wrap(words, width, hyphens=hyphens)
                assert all(width_of(line, bold=True) <= width for line in lines)
                assert not broken(lines, words)
                rest = words
                for line in lines:
                    here = line if rest.startswith(line) else line[:-1]
                    assert rest.startswith(here)
                    rest = rest.removeprefix(here).removeprefix(" ")
                assert rest == ""


def test_what_is_bold_is_known_in_spite_of_hyphens() -> None:
    words = "Rezirkulationsklemme: offen"
    lines = wrap(words, 135.0, plain=len("Rezirkulationsklemme:"), hyphens=of_set())
    assert hyphened(lines, words) == 1
    assert two_weights(lines, words, len("Rezirkulationsklemme:")) == [("Rezirkulations-", ""), ("klemme:", " offen")]


def test_labels_on_the_screen_are_hyphened_too() -> None:
    there = next(one for one in in_language(demo.workspace(), GERMAN).rigs if one.id == "adult-bedside")
    blocks = {one.part: one.lines for one in plan_of(there, SCREEN, language="de").blocks}
    for part in there.parts:
        assert not broken(blocks[part.id], " ".join(part.label.split())), part.label
    assert any(line.endswith("-") for lines in blocks.values() for line in lines)
