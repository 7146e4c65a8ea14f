"""Whatever changes is told: the edits, carried out on the old side, give the new side, after thousands of odd changes."""

from __future__ import annotations

import random
from functools import cache

import pytest

from stepwell.compare.between import edits_between
from stepwell.compare.documents import documents
from stepwell.model.workspace import Workspace
from tests import demo
from tests.compare.mutate import dump, leaves, mutated, other, put
from tests.compare.test_corpus import before


@cache
def units() -> tuple[Workspace, ...]:
    return (demo.workspace(), before())


def proves(seed: int) -> None:
    chance = random.Random(seed)
    old = new = chance.choice(units())
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        new = mutated(new, chance)
    found = edits_between(old, new)
    assert found.undisclosed == (), seed
    assert bool(found.edits) == (meant(dump(old)) != meant(dump(new))), seed


def meant(told: object) -> object:
    """A dump without what means nothing: the order of mappings and of files, and the label that a part lends to kit."""
    if isinstance(told, tuple) and len(told) == 2 and isinstance(told[0], str) and isinstance(told[1], tuple):
        name, inner = told
        if name in ("data", "words", "refs", "avoid", "policy") and all(isinstance(one[0], tuple) for one in inner):
            return (name, tuple(sorted(inner, key=repr)))
        if name in ("rigs", "rules", "procedures") and inner and isinstance(inner[0][1], tuple):
            return (name, tuple(sorted((meant(one) for one in inner), key=repr)))
        if name == "Baseline":
            by_part = dict(inner)
            settings = sorted(by_part["settings"], key=lambda one: repr(one[1][0]))
            return (name, tuple(sorted({**by_part, "settings": tuple(settings)}.items())))
        if name == "KitItem":
            return (name, tuple(one for one in inner if one[0] != "name" or dict(inner)["part"] == ("NoneType", "None")))
    return tuple(meant(one) for one in told) if isinstance(told, tuple) else told


@pytest.mark.parametrize("start", range(0, 300, 20))
def test_no_change_is_passed_over(start: int) -> None:
    for seed in range(start, start + 20):
        proves(seed)


@pytest.mark.nightly
@pytest.mark.parametrize("start", range(1000, 11000, 500))
def test_no_change_is_passed_over_in_ten_thousand(start: int) -> None:
    for seed in range(start, start + 500):
        proves(seed)


def test_the_same_unit_has_no_edits() -> None:
    for unit in units():
        assert edits_between(unit, unit).edits == ()


def test_every_single_leaf_of_the_model_counts() -> None:
    """Each value of the unit in turn is set to something else; the trees must differ then."""
    unit, chance = before(), random.Random(7)
    told = documents(unit)
    lent = {(*path[:-1], "name") for path, value in leaves(unit) if path[-1] == "part" and "kit" in path and value}
    for path, value in leaves(unit):
        if value in ((), None) or path in lent:
            continue
        assert documents(put(unit, path, other(value, chance))) != told, path
