"""What must be true of every rule of the catalogue."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stepwell.model.rule import Rule
from stepwell.rules.sentence import sentence

from .harness import CASES, catalogue

RULES = catalogue()
MARKS = {"seen", "from memory", "physics", "common practice"}
SOURCE_KEY = re.compile(r"\bS\d+\b|\bCP\b")


@pytest.fixture(params=RULES, ids=lambda rule: rule.name)
def rule(request: pytest.FixtureRequest) -> Rule:
    assert isinstance(request.param, Rule)
    return request.param


def test_it_says_why_and_what_to_do(rule: Rule) -> None:
    for text in (rule.title, rule.harm, rule.control, rule.message, rule.mend, rule.not_checked):
        assert text.strip(), "every rule states title, harm, control, message, mend and what it does not check"
    for text in (rule.harm, rule.control, rule.message, rule.mend, rule.not_checked):
        assert text.endswith("."), text


def test_its_sources_are_marked(rule: Rule) -> None:
    assert rule.sources
    for source in rule.sources:
        assert source.mark in MARKS
        assert len(source.text) > 10
        assert not SOURCE_KEY.search(source.text), "a source is named in words"


def test_its_file_bears_its_name(rule: Rule) -> None:
    assert Path(rule.path).stem == rule.name


def test_messages_name_only_bound_parts(rule: Rule) -> None:
    bound = {name for name, _ in rule.for_every}
    assert set(re.findall(r"\{([a-z]+)", rule.message + rule.mend)) <= bound


def test_names_and_codes_are_not_shared() -> None:
    assert len({rule.code for rule in RULES}) == len({rule.name for rule in RULES}) == len(RULES)
    assert all(re.fullmatch(r"SW1\d\d", rule.code) for rule in RULES)


def test_the_core_that_can_not_be_waived() -> None:
    """The hazards that no unit may waive."""
    core = {hazard for rule in RULES if rule.core for hazard in rule.hazards}
    assert {"H11", "H21", "H33", "H34", "H42", "H62", "H63", "H64", "H67", "H73"} <= core


def test_the_sentence_for_the_committee_is_the_one_that_was_read(rule: Rule) -> None:
    """Every case file quotes the sentence below its title; a change of the rule must be read again there."""
    text = (CASES / f"{rule.name}.md").read_text("utf-8")
    quoted = re.search(r"\A# .+\n\n((?:> .+\n)+)", text)
    assert quoted is not None, "quote the sentence below the title"
    assert " ".join(line[2:] for line in quoted[1].splitlines()) == sentence(rule)
