"""The truth of a ground predicate in one state, and which of its literals are to blame for it."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.tri import Tri, negation
from stepwell.rules.ground import Ask, Conjunction, Disjunction, Ground, Literal, Missing, Negation


def evaluate(predicate: Ground, ask: Ask) -> Tri:
    """Kleene's strong logic. What can't be asked on this rig may be: never surely so, never surely not."""
    match predicate:
        case Literal(name=name, args=args):
            return ask(name, args)
        case Missing():
            return Tri.MAYBE
        case Negation(body=body):
            return negation(evaluate(body, ask))
        case Conjunction(bodies=bodies):
            least = Tri.YES
            for part in bodies:
                least = min(least, evaluate(part, ask))
                if least is Tri.NO:
                    break
            return least
        case Disjunction(bodies=bodies):
            most = Tri.NO
            for part in bodies:
                most = max(most, evaluate(part, ask))
                if most is Tri.YES:
                    break
            return most


@dataclass(frozen=True, slots=True)
class Failing:
    """A literal that is not as it would have to be: it is ``value``, and ``wanted`` would have helped."""

    literal: Literal
    value: Tri
    wanted: Tri


def failing_literals(predicate: Ground, ask: Ask, wanted: Tri) -> tuple[Failing, ...]:
    """The literals that keep ``predicate`` from being surely ``wanted`` (YES or NO); none if it is so.

    Each of them would have to change for a conjunction, any of them might for a disjunction. Literals that already are
    as they should be are left out, so that "in any space" names the spaces that matter and no others.
    """
    if evaluate(predicate, ask) is wanted:
        return ()
    match predicate:
        case Literal(name=name, args=args):
            return (Failing(predicate, ask(name, args), wanted),)
        case Missing():
            return ()
        case Negation(body=body):
            return failing_literals(body, ask, negation(wanted))
        case Conjunction(bodies=bodies) | Disjunction(bodies=bodies):
            found = [one for part in bodies for one in failing_literals(part, ask, wanted)]
            return tuple(dict.fromkeys(found))
