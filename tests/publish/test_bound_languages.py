"""An approval is bound to the words of every language that the unit has."""

from __future__ import annotations

from dataclasses import replace

from stepwell.model.workspace import Workspace
from stepwell.publish.bound import SAME_MEANING, Bound, Tool, bound, content_of
from tests import demo
from tests.cards.test_german import sheet_of, with_entries

TOOL = Tool(version="1", catalogue={}, template={})


def bound_in(space: Workspace, *codes: str) -> Bound:
    procedure = demo.procedure("air-in-circuit")
    others = [sheet_of("air-in-circuit", space, code) for code in codes]
    return bound(space, procedure, None, sheet_of("air-in-circuit", space, "en"), TOOL, others)


def test_a_changed_translation_is_another_content_and_says_which_part() -> None:
    before = bound_in(demo.workspace(), "de").parts
    for change in ({"Turn {gas} off.": "{gas} schließen."}, {"Turn {gas} off.": None}, {"sweep gas": "Sweepgas"}):
        after = bound_in(with_entries(change), "de").parts
        assert [name for name in before if before[name] != after[name]] == ["translations"]
        assert content_of(before) != content_of(after)


def test_what_the_english_card_is_does_not_depend_on_a_translation() -> None:
    before, after = bound_in(demo.workspace(), "de"), bound_in(replace(demo.workspace(), translations=()), "de")
    assert all(before.parts[name] == after.parts[name] for name in SAME_MEANING)


def test_a_unit_in_english_alone_is_bound_to_what_it_was_bound_to_before() -> None:
    assert not [name for name in bound_in(demo.workspace()).parts if name == "translations"]


def test_another_procedure_s_words_change_nothing_here() -> None:
    before = bound_in(demo.workspace(), "de").parts
    assert bound_in(with_entries({"Park {frame}.": "{frame} abstellen."}), "de").parts == before
