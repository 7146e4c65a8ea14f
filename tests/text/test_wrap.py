"""Breaking lines: nothing is lost, nothing is too wide that could be narrower, and plain terminals get
plain characters."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepwell.render.text.wrap import columns, pad, plain_ascii, tame, wrap


@given(st.lists(st.text(alphabet="abc-é漢", min_size=1, max_size=12), max_size=30), st.integers(20, 100))
def test_wrap_keeps_every_word_and_the_width(words: list[str], width: int) -> None:
    lines = wrap(" ".join(words), width, "  * ")
    assert " ".join(" ".join(lines)[4:].split()) == " ".join(words)
    widest = max((columns(word) for word in words), default=0)
    assert all(columns(line) <= max(width, 4 + widest) for line in lines)


def test_the_rest_hangs_under_the_first_word() -> None:
    assert wrap("one two three", 9, "- ") == ("- one two", "  three")
    assert wrap("one two three", 9, "- ", "") == ("- one two", "three")
    assert wrap("", 9, "- ") == ("-",)


def test_a_path_is_never_broken() -> None:
    path = "protocols/procedures/" + "x" * 90 + ".yaml:3:9:"
    assert wrap(f"see {path} now", 72) == ("see", path, "now")


def test_a_figure_stays_with_its_unit() -> None:
    assert wrap("at 4\u00a0L/min", 7) == ("at", "4\u00a0L/min")


@pytest.mark.parametrize(("text", "wide"), [("abc", 3), ("漢字", 4), ("é", 1), ("e\u0301", 1), ("a\u200bb", 2)])
def test_columns(text: str, wide: int) -> None:
    assert columns(text) == wide
    assert columns(pad(text, 10)) == 10


def test_a_file_cannot_drive_the_terminal() -> None:
    assert "\x1b" not in tame("\x1b[2J gone \x07")
    assert all(character.isprintable() for line in wrap("a\x1b[31m\x9bb", 40) for character in line)


def test_plain_ascii() -> None:
    assert plain_ascii("→ 36 °C – “Überdruck” ≥ 4 L") == '-> 36 deg C - "Uberdruck" >= 4 L'
    assert plain_ascii("漢") == "?"


@given(st.text())
def test_plain_ascii_is_ascii(text: str) -> None:
    assert plain_ascii(text).isascii()
