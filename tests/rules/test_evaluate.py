"""Three-valued truth against plain truth."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepwell.model.predicate import ALWAYS, AllOf, AnyOf, Fact, Not, Predicate, Quantified, Ref, Selector
from stepwell.model.tri import Tri, tri
from stepwell.rules.evaluate import CANNOT_BE_ASKED, Ask, evaluate, failing_literals

NAMES = ("a", "b", "c", "d")
FACTS = st.sampled_from([Fact("open", (Ref(name),)) for name in NAMES])


def _deeper(inner: st.SearchStrategy[Predicate]) -> st.SearchStrategy[Predicate]:
    several = st.lists(inner, max_size=3).map(tuple)
    return st.one_of(inner.map(Not), several.map(AllOf), several.map(AnyOf))


PREDICATES: st.SearchStrategy[Predicate] = st.recursive(FACTS, _deeper, max_leaves=10)
STATES = st.fixed_dictionaries({name: st.sampled_from(list(Tri)) for name in NAMES})


def asking(values: dict[str, Tri]) -> Ask:
    return lambda name, args: values[args[0]]


def plainly(predicate: Predicate, values: dict[str, bool]) -> bool:
    match predicate:
        case Fact(args=args):
            return values[args[0].name]
        case Not(body=body):
            return not plainly(body, values)
        case AllOf(bodies=bodies):
            return all(plainly(body, values) for body in bodies)
        case AnyOf(bodies=bodies):
            return any(plainly(body, values) for body in bodies)
        case Quantified():
            raise AssertionError("none are made")


def completions(values: dict[str, Tri]) -> list[dict[str, bool]]:
    """Every two-valued state that the three-valued one may stand for."""
    choices = [(True, False) if value is Tri.MAYBE else (value is Tri.YES,) for value in values.values()]
    return [dict(zip(values, combination, strict=True)) for combination in product(*choices)]


@given(PREDICATES, STATES)
def test_yes_and_no_agree_with_every_completion(predicate: Predicate, values: dict[str, Tri]) -> None:
    value = evaluate(predicate, asking(values))
    seen = {tri(plainly(predicate, completion)) for completion in completions(values)}
    assert value is Tri.MAYBE or seen == {value}


@given(PREDICATES, st.fixed_dictionaries({name: st.booleans() for name in NAMES}))
def test_it_is_plain_logic_where_every_fact_is_decided(predicate: Predicate, values: dict[str, bool]) -> None:
    decided = asking({name: tri(value) for name, value in values.items()})
    assert evaluate(predicate, decided) is tri(plainly(predicate, values))


@given(PREDICATES, STATES, st.sampled_from([Tri.YES, Tri.NO]))
def test_nothing_fails_exactly_where_it_is_as_wanted(predicate: Predicate, values: dict[str, Tri], wanted: Tri) -> None:
    failing = failing_literals(predicate, asking(values), wanted)
    if evaluate(predicate, asking(values)) is wanted:
        assert failing == ()
    for one in failing:
        assert one.value is values[one.fact.args[0].name]
        assert one.value is not one.wanted


@given(PREDICATES, STATES, st.sampled_from([Tri.YES, Tri.NO]))
def test_the_literals_named_are_the_ones_that_matter(predicate: Predicate, values: dict[str, Tri], wanted: Tri) -> None:
    """Curing every named literal cures the predicate, unless it needs one fact to be two things."""
    failing = failing_literals(predicate, asking(values), wanted)
    cures: dict[str, set[Tri]] = {}
    for one in failing:
        cures.setdefault(one.fact.args[0].name, set()).add(one.wanted)
    if not failing or any(len(wishes) > 1 for wishes in cures.values()):
        return
    needed_elsewhere = _polarities(predicate, wanted)
    if any(len(needed_elsewhere[name]) > 1 for name in cures):
        return
    cured = values | {name: wishes.pop() for name, wishes in cures.items()}
    assert evaluate(predicate, asking(cured)) is wanted or not _can_be(predicate, wanted)


def _polarities(predicate: Predicate, wanted: Tri) -> dict[str, set[Tri]]:
    found: dict[str, set[Tri]] = {name: set() for name in NAMES}

    def walk(inner: Predicate, positive: bool) -> None:
        match inner:
            case Fact(args=args):
                found[args[0].name].add(tri(positive))
            case Not(body=body):
                walk(body, not positive)
            case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
                for body in bodies:
                    walk(body, positive)
            case Quantified():
                raise AssertionError("none are made")

    walk(predicate, wanted is Tri.YES)
    return found


def _can_be(predicate: Predicate, wanted: Tri) -> bool:
    every = completions(dict.fromkeys(NAMES, Tri.MAYBE))
    return any(tri(plainly(predicate, completion)) is wanted for completion in every)


def test_what_cannot_be_asked_is_neither_sure_nor_ruled_out() -> None:
    unknown = Fact(CANNOT_BE_ASKED, (Ref("why"),))
    ask = asking({})
    assert evaluate(unknown, ask) is Tri.MAYBE
    assert evaluate(Not(unknown), ask) is Tri.MAYBE
    assert failing_literals(unknown, ask, Tri.YES) == ()


def test_always_is_always_so() -> None:
    assert evaluate(ALWAYS, asking({})) is Tri.YES
    assert evaluate(AnyOf(()), asking({})) is Tri.NO


def test_a_quantifier_must_be_bound_first() -> None:
    loose = Quantified(True, "s", Selector(), Fact("open", (Ref("s"),)))
    with pytest.raises(TypeError):
        evaluate(loose, asking({}))


def test_only_the_failing_spaces_of_any_space_are_named() -> None:
    dry = AnyOf(tuple(Fact("dry", (Ref(name),)) for name in NAMES))
    values = {"a": Tri.NO, "b": Tri.MAYBE, "c": Tri.NO, "d": Tri.YES}
    assert [one.fact.args[0].name for one in failing_literals(dry, asking(values), Tri.NO)] == ["b", "d"]
