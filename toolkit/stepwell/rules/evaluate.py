"""The truth of a ground predicate in one state, and which of its facts are to blame for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified
from stepwell.model.tri import Tri, negation

Ask = Callable[[str, tuple[str, ...]], Tri]
"""Answers how true the named fact of these arguments is in one state."""

CANNOT_BE_ASKED = "cannot-be-asked"
"""The name of the fact that stands where the rig does not say what a predicate asks about. It always may be."""

_NOT_GROUND = "a quantifier must be bound to a rig before it is evaluated"


def evaluate(predicate: Predicate, ask: Ask) -> Tri:
    """Kleene's strong logic. ``predicate`` must be ground; TypeError if a quantifier is left."""
    match predicate:
        case Fact(name=name):
            return Tri.MAYBE if name == CANNOT_BE_ASKED else ask(name, words_of(predicate))
        case Not(body=body):
            return negation(evaluate(body, ask))
        case AllOf(bodies=bodies):
            least = Tri.YES
            for part in bodies:
                least = min(least, evaluate(part, ask))
                if least is Tri.NO:
                    break
            return least
        case AnyOf(bodies=bodies):
            most = Tri.NO
            for part in bodies:
                most = max(most, evaluate(part, ask))
                if most is Tri.YES:
                    break
            return most
        case Quantified():
            raise TypeError(_NOT_GROUND)


@dataclass(frozen=True, slots=True)
class Failing:
    """A fact that is not as it would have to be: it is ``value``, and ``wanted`` would have helped."""

    fact: Fact
    value: Tri
    wanted: Tri


def failing_literals(predicate: Predicate, ask: Ask, wanted: Tri) -> tuple[Failing, ...]:
    """The facts that keep a ground ``predicate`` from being surely ``wanted`` (YES or NO); none if it is so.

    Each of them would have to change for a conjunction, any of them might for a disjunction. Facts that already are as
    they should be are left out, so that "in any space" names the spaces that matter and no others.
    """
    value = evaluate(predicate, ask)
    if value is wanted:
        return ()
    match predicate:
        case Fact(name=name):
            return () if name == CANNOT_BE_ASKED else (Failing(predicate, value, wanted),)
        case Not(body=body):
            return failing_literals(body, ask, negation(wanted))
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            found = [one for part in bodies for one in failing_literals(part, ask, wanted)]
            return tuple(dict.fromkeys(found))
        case Quantified():
            raise TypeError(_NOT_GROUND)


def words_of(atom: Fact) -> tuple[str, ...]:
    """The argument words of a ground fact, as an Ask takes them."""
    return tuple([ref.name for ref in atom.args])
