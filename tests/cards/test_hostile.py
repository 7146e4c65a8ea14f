"""Author's text is data: nothing in it is markup, and what can't be printed is said."""

from dataclasses import replace

import pytest

from stepwell.model.procedure import Sight, Stage, Step, Text, Warn
from tests.cards.made import card_of, page_texts
from tests.publish.bench import emergency, procedure

NASTY = [
    '#import "@preview/tablex:0.0.8": *',
    "#panic(1) $x^2$ *bold* _it_ `raw` @ref <label>",
    "= Heading\\ [content] #{1 + 1} // comment /* */",
    "<script>alert('x')</script> &amp; &lt;",
    "quotes \" ' “ ” « » \\ \\n \\u{41}",
    "{{braces}} {0} %s ~ - -- --- ... https://example.org",
]


def hostile(text):
    words = (Text(text),)
    step = Step(
        id="a1aa",
        who="primer",
        say=words,
        expect=(Sight(words=words),),
        why=words,
        warn=(Warn(hazard=words, consequence=words, avoidance=words),),
    )
    return procedure((Stage(title=text, body=(step,)),), title=text, use_when=words, cautions=(words,), done_call=words)


@pytest.mark.parametrize("text", NASTY)
def test_markup_is_printed_as_it_stands(text):
    card = card_of(hostile(text))
    squeezed = "".join("".join(page_texts(card.pdf)).split())
    assert squeezed.count("".join(text.split())) >= 6
    assert [f.code for f in card.findings if f.code != "SW404"] == []


def test_a_character_without_a_shape_is_a_finding_at_its_step():
    card = card_of(hostile("Press \U0001f600 now"))
    found = [f for f in card.findings if f.code == "SW405"]
    assert {f.step for f in found} == {"a1aa", None}
    assert all("U+1F600 (GRINNING FACE)" in f.message for f in found)
    assert "Press [U+1F600] now" in page_texts(card.pdf)[0]


@pytest.mark.parametrize("char", ["\u202e", "\u0007", "\ufeff", "\u4e2d"])
def test_invisible_and_foreign_characters_are_spelled_out(char):
    card = card_of(hostile(f"Open{char} it"))
    assert f"[U+{ord(char):04X}]" in page_texts(card.pdf)[0]
    assert "SW405" in [f.code for f in card.findings]


def test_symbols_from_the_second_font_are_printed():
    text = "SpO₂ → 5 µm ✓ ≥ ≤ Ω Привет"
    card = card_of(hostile(text))
    assert not [f for f in card.findings if f.code == "SW405"]
    assert "".join(text.split()) in "".join("".join(page_texts(card.pdf)).split())


def test_line_breaks_in_text_are_spaces():
    card = card_of(replace(emergency(), use_when=(Text("first\nsecond\tthird"),)))
    assert "first second third" in page_texts(card.pdf)[0]
