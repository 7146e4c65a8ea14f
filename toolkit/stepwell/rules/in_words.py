"""Ground predicates in English, for findings."""

from __future__ import annotations

from collections.abc import Mapping

from stepwell.circuit.fact_table import fact
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified


def in_words(predicate: Predicate, labels: Mapping[str, str], *, negated: bool = False) -> str:
    """A ground predicate as a clause such as "the vent is shut"; a denied one from the facts' own negative sentences."""
    match predicate:
        case Fact(name=name, args=args):
            entry = fact(name)
            words = [_with_article(ref.name, labels) for ref in args]
            if entry is None:
                return f"{name} {' '.join(words)}"
            return (entry.no if negated else entry.yes).format(*words)
        case Not(body=body):
            return in_words(body, labels, negated=not negated)
        case AllOf(bodies=bodies):
            return (" or " if negated else " and ").join(in_words(b, labels, negated=negated) for b in bodies)
        case AnyOf(bodies=bodies):
            return (" and " if negated else " or ").join(in_words(b, labels, negated=negated) for b in bodies)
        case Quantified():
            raise TypeError("ground the predicate first")


def _with_article(word: str, labels: Mapping[str, str]) -> str:
    label = labels.get(word)
    if label is None:
        return word
    return label if label.startswith("the ") else f"the {label}"
