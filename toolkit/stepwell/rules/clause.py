"""Predicates in English, without any rig at hand: quantifiers become "every", "no" and "some"."""

from __future__ import annotations

from stepwell.circuit.catalogue import fact
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified
from stepwell.rules.nouns import noun, phrase, short_noun


def clauses(predicate: Predicate, names: dict[str, str]) -> tuple[str, ...]:
    """The predicate as clauses that all must be so; each can follow "that": "the vent is shut"."""
    pushed = _inward(predicate, True)
    return tuple(_clause(body, names) for body in (pushed.bodies if isinstance(pushed, AllOf) else (pushed,)))


def _inward(predicate: Predicate, positive: bool) -> Predicate:
    """Negations moved down to the facts, and nested conjunctions and disjunctions made flat."""
    match predicate:
        case Fact():
            return predicate if positive else Not(predicate)
        case Not(body=body):
            return _inward(body, not positive)
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            conjunction = isinstance(predicate, AllOf) is positive
            sort = AllOf if conjunction else AnyOf
            moved = [_inward(body, positive) for body in bodies]
            flat = [one for body in moved for one in (body.bodies if isinstance(body, sort) else (body,))]
            return flat[0] if len(flat) == 1 else sort(tuple(flat))
        case Quantified(every=every, variable=variable, over=over, body=body):
            return Quantified(every is positive, variable, over, _inward(body, positive))


def _clause(predicate: Predicate, names: dict[str, str]) -> str:
    match predicate:
        case Fact(name=name, args=args):
            return _sentence(name, tuple(phrase(ref, names) for ref in args), True)
        case Not(body=Fact(name=name, args=args)):
            return _sentence(name, tuple(phrase(ref, names) for ref in args), False)
        case AllOf(bodies=bodies):
            return listed([_clause(body, names) for body in bodies], "and")
        case AnyOf(bodies=bodies):
            # Without "both" nobody can tell which of the alternatives an "and" belongs to.
            said = ["both " * isinstance(body, AllOf) + _clause(body, names) for body in bodies]
            return listed(said, "or") if len(said) > 2 else f"either {listed(said, 'or')}"
        case Quantified():
            return _quantified(predicate, names)
        case Not():
            raise TypeError("negations have been moved to the facts")


def _quantified(predicate: Quantified, names: dict[str, str]) -> str:
    what = noun(predicate.over)
    article = "every" if predicate.every else "some"
    body = predicate.body
    if predicate.every and isinstance(body, Not):
        # "No vent is open" cannot be misread, "every vent is not open" can.
        return _clause(body.body, {**names, predicate.variable: f"no {what}"})
    if isinstance(body, Fact | Not) and _mentions(body, predicate.variable) == 1:
        return _clause(body, {**names, predicate.variable: f"{article} {what}"})
    inner = _clause(body, {**names, predicate.variable: f"that {short_noun(predicate.over)}"})
    return f"for {article} {what}, {inner}"


def _mentions(predicate: Fact | Not, variable: str) -> int:
    inner = predicate.body if isinstance(predicate, Not) else predicate
    return sum(ref.name == variable for ref in inner.args) if isinstance(inner, Fact) else 0


def _sentence(name: str, args: tuple[str, ...], positive: bool) -> str:
    entry = fact(name)
    if entry is None:
        return f"{'' if positive else 'not '}{name} {' '.join(args)}".strip()
    # A position is a word on a handle; without quotes "is not at all" would say something else.
    spoken = (args[0], f"“{args[1]}”") if name == "position" else args
    return (entry.yes if positive else entry.no).format(*spoken)


def listed(words: list[str], joint: str) -> str:
    """ "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {joint} {words[-1]}" if words else ""
