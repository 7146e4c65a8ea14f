"""Every entry of the vocabulary is whole: described, reachable by name, and usable."""

from __future__ import annotations

import re

import pytest

from stepwell.circuit.catalogue import FACTS, PART_KINDS, VERBS, fact, part_kind, verb
from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.entry import Arity, Family, PartKind
from stepwell.circuit.settings import values_of
from stepwell.model.rig import Setting
from tests.demo import rig

KINDS = {kind.name for kind in PART_KINDS}
LAYOUT = compile_rig(rig())


def test_names_are_unique_and_found() -> None:
    for entries in (FACTS, VERBS, PART_KINDS):
        names = [entry.name for entry in entries]
        assert len(set(names)) == len(names)
    assert fact("open") in FACTS
    assert verb("open") in VERBS
    assert part_kind("clamp") in PART_KINDS
    assert fact("nonsense") is None
    assert verb("nonsense") is None
    assert part_kind("nonsense") is None


@pytest.mark.parametrize("kind", PART_KINDS, ids=lambda kind: kind.name)
def test_every_state_word_belongs_to_one_variable(kind: PartKind) -> None:
    words = [word for _, words in kind.variables for word in words]
    assert len(set(words)) == len(words)
    meanings = {word for word, _ in kind.states}
    assert meanings >= set(words)
    assert meanings - set(words) <= {"joined"}, "a word with a meaning that no variable has"
    for ref in kind.refs:
        assert set(ref.kinds) <= KINDS
    assert kind.summary.endswith(".")


def test_every_word_of_the_demo_rig_can_be_set() -> None:
    for part in rig().parts:
        kind = part_kind(part.kind)
        assert kind is not None
        for _, words in kind.variables:
            for word in words:
                assert values_of(LAYOUT, Setting(part=part.id, word=word))


def test_verbs_name_kinds_that_exist_and_sentences_that_fit() -> None:
    for entry in VERBS:
        assert {name for kinds in entry.pairs for name in kinds} <= KINDS
        assert len(entry.pairs) == {Arity.NONE: 0, Arity.EACH: 1, Arity.PAIR: 2}[entry.arity]
        places = {int(number) for number in re.findall(r"\{(\d)\}", entry.does)}
        assert places == set(range(len(entry.pairs)))
        options = set(re.findall(r"\{([a-z]+)\}", entry.does))
        assert options <= {option.name for option in entry.options}
        assert entry.words
        assert all(word == word.lower() for word in entry.words)


def test_facts_say_what_they_mean_both_ways() -> None:
    for entry in FACTS:
        for template in (entry.yes, entry.no):
            places = {int(number) for number in re.findall(r"\{(\d)\}", template)}
            assert places == set(range(len(entry.args))), entry.name
        assert entry.yes != entry.no
        for arg in entry.args:
            assert set(arg.kinds) <= KINDS
            assert bool(arg.kinds) is not bool(arg.choices)


def test_every_family_has_a_kind() -> None:
    assert {kind.family for kind in PART_KINDS} == set(Family)
