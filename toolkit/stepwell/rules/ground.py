"""Predicates bound to one rig: no variables, no quantifiers, only named facts of named parts.

``s.site`` becomes the part that the rig names there. Where it names several, the literal becomes the conjunction over
all of them ("the sites of s are dry"). Where it names none, nothing can be said: the literal is left as ``Missing``, and
whoever grounds a rule reports the reason instead of guessing a value.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from stepwell.circuit.catalogue import fact
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified, Ref, Selector
from stepwell.model.rig import Part, Rig
from stepwell.model.tri import Tri

Ask = Callable[[str, tuple[str, ...]], Tri]
"""Answers how true the named fact of these arguments is in one state."""

Bindings = Mapping[str, str]
"""Which part each variable stands for."""


@dataclass(frozen=True, slots=True)
class Literal:
    """One fact of parts (or words) that the rig has."""

    name: str
    args: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Missing:
    """A fact that can't be asked on this rig, and why."""

    reason: str


@dataclass(frozen=True, slots=True)
class Negation:
    """The negation."""

    body: Ground


@dataclass(frozen=True, slots=True)
class Conjunction:
    """Every one of ``bodies``; true of none."""

    bodies: tuple[Ground, ...]


@dataclass(frozen=True, slots=True)
class Disjunction:
    """At least one of ``bodies``."""

    bodies: tuple[Ground, ...]


Ground = Literal | Missing | Negation | Conjunction | Disjunction


def ground(predicate: Predicate, rig: Rig, bindings: Bindings | None = None) -> Ground:
    """Bind ``predicate`` to ``rig``. Never raises; what the rig lacks is left as ``Missing`` (see ``reasons``)."""
    bound = bindings or {}
    match predicate:
        case Fact():
            return _literal(predicate, rig, bound)
        case Not(body=body):
            return Negation(ground(body, rig, bound))
        case AllOf(bodies=bodies):
            return _all_of(tuple(ground(body, rig, bound) for body in bodies))
        case AnyOf(bodies=bodies):
            return _any_of(tuple(ground(body, rig, bound) for body in bodies))
        case Quantified(every=every, variable=variable, over=over, body=body):
            cases = tuple(ground(body, rig, {**bound, variable: part.id}) for part in select(rig, over))
            return _all_of(cases) if every else _any_of(cases)


def select(rig: Rig, selector: Selector) -> tuple[Part, ...]:
    """The rig's parts of this kind that carry all of the traits and none of ``without``, in the rig's order."""
    return tuple(
        part
        for part in rig.parts
        if selector.kind in (None, part.kind)
        and set(selector.traits) <= set(part.traits)
        and not set(selector.without) & set(part.traits)
    )


def targets(ref: Ref, rig: Rig, bindings: Bindings) -> tuple[str, ...] | Missing:
    """The parts that a reference leads to, or why it leads to none."""
    part = rig.part(bindings.get(ref.name, ref.name))
    if part is None:
        return Missing(f"the rig has no part {ref.name}")
    if ref.attr is None:
        return (part.id,)
    if ref.attr == "headspace" and part.kind == "bag":
        return (f"{part.id}.headspace",)
    return part.ref(ref.attr) or Missing(f"the rig does not say what the {ref.attr} of {part.label} is")


def literals_of(predicate: Ground) -> frozenset[Literal]:
    """Every literal in it."""
    return frozenset(leaf for leaf in _leaves(predicate) if isinstance(leaf, Literal))


def reasons(predicate: Ground) -> tuple[str, ...]:
    """Why the predicate can't be decided on this rig; empty if it can."""
    return tuple(dict.fromkeys(leaf.reason for leaf in _leaves(predicate) if isinstance(leaf, Missing)))


def _leaves(predicate: Ground) -> Iterator[Literal | Missing]:
    match predicate:
        case Literal() | Missing():
            yield predicate
        case Negation(body=body):
            yield from _leaves(body)
        case Conjunction(bodies=bodies) | Disjunction(bodies=bodies):
            for body in bodies:
                yield from _leaves(body)


def _literal(predicate: Fact, rig: Rig, bindings: Bindings) -> Ground:
    entry = fact(predicate.name)
    if entry is None:
        return Missing(f"there is no fact called {predicate.name}")
    if len(predicate.args) != len(entry.args):
        return Missing(f"the fact {predicate.name} takes {len(entry.args)} arguments, not {len(predicate.args)}")
    choices: list[tuple[str, ...]] = []
    for ref, spec in zip(predicate.args, entry.args, strict=True):
        found = (ref.name,) if ref.attr is None and ref.name in spec.choices else targets(ref, rig, bindings)
        if isinstance(found, Missing):
            return found
        choices.append(found)
    return _all_of(tuple(Literal(entry.name, args) for args in product(*choices)))


def _all_of(bodies: tuple[Ground, ...]) -> Ground:
    return bodies[0] if len(bodies) == 1 else Conjunction(bodies)


def _any_of(bodies: tuple[Ground, ...]) -> Ground:
    return bodies[0] if len(bodies) == 1 else Disjunction(bodies)
