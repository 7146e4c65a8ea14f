"""The rules' texts in other languages: none is missing or left over, and what a reader must not misread is kept."""

import re

import pytest

from stepwell.cli.names import builtin_rules
from stepwell.model.language import ENGLISH, MARK
from stepwell.publish.status import say_rule
from stepwell.report.faults import FAULTS
from stepwell.rules import ground, words_and_actions
from stepwell.rules.sentence import sentence
from stepwell.source.read_fixed_words import fixed_words

GERMAN = fixed_words("de")
RULES = builtin_rules()
TEXTS = tuple(
    (rule.name, text)
    for rule in RULES
    for text in (rule.title, rule.harm, rule.control, rule.not_checked, sentence(rule))
    if text
)
"""The sentence is made from the rule, its German was written for the whole of it: a rule that changes loses it."""
FINDINGS = (*(fault.name for fault in FAULTS), words_and_actions.NAME, ground.UNFIT_RULE)
"""What can stand on a card as found, by its name."""
NAMES = tuple(name.replace("-", " ") for name in FINDINGS)
LONGEST_TITLE = 120
"""Characters; a title stands in a card's status line."""


def said(text: str) -> str:
    return GERMAN.words.get(("rule", text), "")


def test_every_text_of_every_rule_has_its_german():
    assert not [(name, text) for name, text in TEXTS if not said(text)]


def test_every_finding_that_a_card_names_has_its_german():
    assert not [name for name in NAMES if not said(name)]


def test_no_german_of_a_rule_is_left_over():
    known = {text for _, text in TEXTS} | set(NAMES)
    assert not [english for where, english in GERMAN.words if where == "rule" and english not in known]


def test_figures_and_names_of_the_tool_are_the_same():
    names = re.compile("|".join(re.escape(rule.name) for rule in RULES if "-" in rule.name))

    def kept(text: str) -> tuple[list[str], list[str], list[str]]:
        return re.findall(r"\d+(?: ?m?L| %)?", text), re.findall(r"`[^`]+`", text), names.findall(text)

    assert not [(text, said(text)) for _, text in TEXTS if kept(text) != kept(said(text))]


@pytest.mark.parametrize(
    ("english", "german"),
    [
        (r"\bsurely\b", r"mit Sicherheit"),
        (r"\bmay\b", r"\b(kann|können|dürfen)\b"),
        (r"\b(not|no|never|nobody|nothing)\b", r"\b(nicht|keine?[mnrs]?|nie|niemand|nichts|ohne|wenig)\b"),
        (r"\bwithout\b", r"\bohne\b"),
        (r"\bbefore\b", r"\b(bevor|vor|vorher)\b"),
        (r"\bonly\b", r"\b(nur|erst|Einzige)\b"),
        (r"at the end or at hand-over", r"am Ende oder bei der Übergabe"),
        (
            r"at the end of the card and at hand-over it must be certain",
            r"am Ende der Karte und bei der Übergabe muss sicher",
        ),
        (r"at the end of the card it must be certain", r"am Ende der Karte muss sicher sein"),
        (r"certain at all times", r"zu jeder Zeit muss sicher sein"),
        (r"must never become possible", r"nie darf möglich werden"),
        (r"just before somebody", r"unmittelbar bevor jemand"),
        (r"before it becomes possible", r"bevor möglich wird"),
        (r"while a patient is attached", r"während ein Patient angeschlossen ist|bei angeschlossenem Patienten"),
        (r"in emergency procedures", r"auf Notfallkarten"),
        (r"in routine procedures", r"auf Karten für Verfahren"),
        (r"in routine and check procedures", r"auf Karten für Verfahren und Prüfungen"),
    ],
)
def test_a_word_that_carries_the_meaning_has_its_like(english, german):
    """A coarse net for a dropped "not" or "may"; what a text means is for a reader to judge."""
    asked = [(text, said(text)) for _, text in TEXTS if re.search(english, text, re.IGNORECASE)]
    assert asked
    assert not [(text, words) for text, words in asked if not re.search(german, words, re.IGNORECASE)]


def test_nothing_is_longer_than_its_place():
    assert not [said(rule.title) for rule in RULES if len(said(rule.title)) > LONGEST_TITLE]
    assert not [said(text) for _, text in TEXTS if len(said(text)) > 1.5 * len(text) + 25]


def test_a_rule_without_german_stands_in_english_and_says_so():
    assert say_rule(RULES[0].title, GERMAN) == said(RULES[0].title)
    assert say_rule("A rule of the unit's own", GERMAN) == f"{MARK}A rule of the unit's own"
    assert say_rule(RULES[0].title, ENGLISH) == RULES[0].title


@pytest.mark.parametrize(
    ("english", "german"),
    [
        (r"\b(not|no|nothing|never|nor|none)\b", r"\b(nicht|kein\w*|nie|nichts)\b"),
        (r"\bpossible\b", r"\bmöglich\b"),
        (r"\bcertain\b", r"\bsicher\b"),
        (r"\bsome\b(?!body)", r"\b(mindestens eine?[mnrs]?)\b(?! gilt)"),
        (r"\bevery\b", r"\bjede[mnrs]?\b(?! Zeit)"),
    ],
)
def test_a_sentence_has_as_many_of_the_words_that_turn_it(english, german):
    told = [(sentence(rule), said(sentence(rule))) for rule in RULES]
    counts = [
        (len(re.findall(english, text, re.IGNORECASE)), len(re.findall(german, words, re.I)), words) for text, words in told
    ]
    assert any(number for number, _, _ in counts)
    assert not [(words, number, found) for number, found, words in counts if number != found]
