"""Findings of the laid-out page."""

from dataclasses import replace

from stepwell.model.procedure import Kind, Lane, Lanes, Stage, Step, Text, Warn
from stepwell.render.cards.facts import Layout, Mark
from stepwell.render.cards.fonts import FontFacts
from stepwell.render.cards.page_rules import page_findings
from stepwell.render.cards.sizes import Sizes
from tests.cards.made import card_of, characters, made, slanted
from tests.publish.bench import emergency, procedure, say


def codes(card):
    return [finding.code for finding in card.findings]


def steps(count, text="Shut {drain-clamp}.", stem="s"):
    return tuple(Step(id=f"{stem}{index:03}", who="primer", say=say(text)) for index in range(count))


def test_a_short_emergency_card_is_one_side_without_findings():
    body = (Stage(title="At once", body=steps(3)), Stage(title="Then", body=steps(4)))
    card = card_of(replace(emergency(), body=body))
    assert (card.pages, codes(card)) == (1, [])
    assert card.sizes.main > 15


def test_a_fuller_one_is_set_smaller_and_says_so():
    _, card = made("emergency")
    assert card.pages == 1
    assert codes(card) == ["SW404"]


def test_one_that_does_not_fit_is_a_finding():
    card = card_of(replace(emergency(), body=(Stage(title="Too much", body=steps(30)),)))
    assert card.pages > 1
    assert codes(card)[0] == "SW401"


def test_a_routine_card_has_no_findings():
    assert codes(made("routine")[1]) == []


def test_a_step_longer_than_a_page_is_a_finding():
    long = Step(id="a1aa", who="primer", say=(Text("Look at it again. " * 160),))
    card = card_of(procedure((Stage(title="Long", body=(long,)),)))
    assert "SW402" in codes(card)
    assert card.findings[codes(card).index("SW402")].step == "a1aa"


def test_a_warning_longer_than_a_page_is_parted_from_its_step():
    words = (Text("It can hurt somebody badly. " * 140),)
    step = Step(id="a1aa", who="primer", say=say("Shut {vent}."), warn=(Warn(hazard=words, consequence=(), avoidance=()),))
    card = card_of(procedure((Stage(title="Long", body=(step,)),)))
    assert "SW403" in codes(card)


def test_steps_are_never_split_where_they_fit():
    card = card_of(procedure((Stage(title="Many", body=steps(60)),)))
    assert card.pages == 3
    assert codes(card) == []


def test_a_split_hold_is_told_from_its_marks():
    sheet, _ = made("routine")
    marks = (
        Mark(sort="hold", id="h1aa", at="start", page=1, y=250),
        Mark(sort="hold", id="h1aa", at="end", page=2, y=40),
    )
    font = FontFacts(characters=frozenset(), cap_height=0.668)
    (finding,) = page_findings(sheet, Layout(pages=2, marks=marks), Sizes(main=14.82, detail=11.86), font)
    assert (finding.code, finding.step) == ("SW402", "h1aa")
    assert Kind(sheet.kind) is Kind.ROUTINE


def test_a_word_wider_than_its_line_is_a_finding():
    step = Step(id="a1aa", who="primer", say=(Text("Open " + "x" * 80 + "."),))
    found = card_of(procedure((Stage(title="Wide", body=(step,)),))).findings
    assert [(finding.code, finding.step) for finding in found] == [("SW406", "a1aa")]


def test_in_a_lane_a_number_of_two_figures_stands_clear_of_its_line():
    """Set in their own font and size, so that they can be told from the words."""
    many = tuple(Lane(who=who, body=steps(9, stem=who[0])) for who in ("primer", "assistant"))
    card = card_of(procedure((Lanes(title="Both", lanes=many),)))
    mine = [char for char in characters(card.pdf) if not slanted(char)]
    size = card.sizes.main * 1.65
    figures = [char for char in mine if abs(float(str(char["size"])) - size) < 0.05 and str(char["text"]).isdigit()]
    assert sum(float(str(char["x0"])) > 300 for char in figures) > 10
    for figure in figures:
        line = [
            float(str(char["x0"]))
            for char in mine
            if char["page_number"] == figure["page_number"]
            and abs(float(str(char["size"])) - card.sizes.main) < 0.05
            and abs(float(str(char["top"])) - float(str(figure["top"]))) < 14
            and float(str(char["x0"])) > float(str(figure["x0"]))
        ]
        if line:
            assert min(line) - float(str(figure["x1"])) > 2.5
