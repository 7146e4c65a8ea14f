"""What would break a rule, as the site says it: in the language of the page, with the numbers that are printed."""

from __future__ import annotations

import pytest

from stepwell.model.language import ENGLISH, MARK
from stepwell.publish.numbering import marks_of
from stepwell.render.site.bites_words import bites_words
from stepwell.report.bites import NONE_FOUND, Witnesses, blind
from stepwell.report.results import Bites
from stepwell.source.read_fixed_words import fixed_words
from tests import demo

GERMAN = fixed_words("de")


def statements(name: str) -> list[Bites]:
    """Every sentence that the search for witnesses can say about a procedure of the demo."""
    found = demo.procedure(name)
    looking = Witnesses(procedure=found, make_world=None, bounds=None, clock=None)  # type: ignore[arg-type]
    return [Bites(step=change.step, statement=change.statement) for change in looking.changes(blind(found.body))]


@pytest.mark.parametrize("name", ["prime-adult", "air-in-circuit"])
def test_every_sentence_about_a_whole_step_is_said_in_german_with_the_printed_number(name: str) -> None:
    marks, whole = marks_of(demo.procedure(name).body), 0
    for bites in statements(name):
        assert bites.step is not None
        words, said = bites_words(bites, marks, GERMAN)
        mark = marks[bites.step]
        if "one action" in bites.statement:
            assert not said
            assert f"step {mark} (" in words
            continue
        whole += 1
        assert said
        assert f"Schritt {mark} " in words
        assert MARK not in words
    assert whole > 10


def test_in_english_too_the_number_is_the_one_on_the_card() -> None:
    marks = {"f8im": "40"}
    bites = Bites(step="f8im", statement="Leaving out step 42 (f8im) would break it, did a later step not notice or refuse.")
    words = "Leaving out step 40 would break it, did a later step not notice or refuse."
    assert bites_words(bites, marks, ENGLISH) == (words, True)


def test_that_no_witness_was_found_is_said_in_german_and_any_other_sentence_is_left_alone() -> None:
    assert bites_words(Bites(step=None, statement=NONE_FOUND), {}, GERMAN)[0].startswith("Kein Auslassen oder Verschieben")
    other = Bites(step="u6v7", statement="Leaving out this step would let air reach the patient.")
    assert bites_words(other, {"u6v7": "9"}, GERMAN) == (other.statement, False)
    assert bites_words(other, {"u6v7": "9"}, ENGLISH) == (other.statement, True)
