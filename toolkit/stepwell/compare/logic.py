"""Whether one condition always brings another: by trying every truth of the facts that they name."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from stepwell.model.predicate import AllOf, AnyOf, Not, Predicate

MOST_FACTS = 12


def implies(strong: Predicate, weak: Predicate) -> bool:
    """True if ``weak`` holds wherever ``strong`` does, whatever the facts are.

    Past ``MOST_FACTS`` facts only what is joined by "and" is looked at. A quantified condition counts as one fact, so
    False may also mean: can't tell.
    """
    if strong == weak:
        return True
    facts = sorted(_facts(strong) | _facts(weak), key=repr)
    if len(facts) > MOST_FACTS:
        return set(_conjuncts(weak)) <= set(_conjuncts(strong))
    for values in product((False, True), repeat=len(facts)):
        truth = dict(zip(facts, values, strict=True))
        if _holds(strong, truth) and not _holds(weak, truth):
            return False
    return True


def _facts(predicate: Predicate) -> set[Predicate]:
    match predicate:
        case Not(body=body):
            return _facts(body)
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            return {fact for body in bodies for fact in _facts(body)}
        case _:
            return {predicate}


def _holds(predicate: Predicate, truth: Mapping[Predicate, bool]) -> bool:
    match predicate:
        case Not(body=body):
            return not _holds(body, truth)
        case AllOf(bodies=bodies):
            return all(_holds(body, truth) for body in bodies)
        case AnyOf(bodies=bodies):
            return any(_holds(body, truth) for body in bodies)
        case _:
            return truth[predicate]


def _conjuncts(predicate: Predicate) -> tuple[Predicate, ...]:
    if isinstance(predicate, AllOf):
        return tuple(inner for body in predicate.bodies for inner in _conjuncts(body))
    return (predicate,)


def conjuncts(predicates: tuple[Predicate, ...]) -> tuple[Predicate, ...]:
    """Each condition on its own."""
    return tuple(inner for predicate in predicates for inner in _conjuncts(predicate))
