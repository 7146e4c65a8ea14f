"""Which facts would tell that a step went wrong: so in every order that is sound, not surely so in the one that is not."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.fact_table import FACTS
from stepwell.model.bodies import each_leaf
from stepwell.model.predicate import Fact, Not, Predicate, Ref
from stepwell.model.procedure import Condition, Hold, Item, Procedure, Step
from stepwell.model.rig import Rig
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask

MOST = 400
"""So many ways to ask one fact of the parts in question."""


def telling(rig: Rig, parts: tuple[str, ...], sound: Ask, slipped: Ask) -> Iterator[Predicate]:
    """Facts about these parts that somebody can observe, or their denials, surely so in one state and not in the other."""
    for entry in FACTS:
        if entry.passing or not entry.observed:
            continue
        for number, args in enumerate(_arguments(entry, rig, parts)):
            if number >= MOST:
                break
            was, is_now = sound(entry.name, args), slipped(entry.name, args)
            fact = Fact(entry.name, tuple(map(Ref, args)))
            if was is Tri.YES and is_now is not Tri.YES:
                yield fact
            elif was is Tri.NO and is_now is not Tri.NO:
                yield Not(fact)


def _arguments(entry: FactEntry, rig: Rig, parts: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    choices: list[tuple[str, ...]] = []
    for spec in entry.args:
        fit = tuple(part.id for part in rig.parts if not spec.kinds or part.kind in spec.kinds)
        choices.append(spec.choices or fit)
    for args in product(*choices):
        about = [arg for arg, spec in zip(args, entry.args, strict=True) if not spec.choices]
        if not about or any(arg in parts for arg in about):
            yield args


def asked_for(procedures: tuple[Procedure, ...]) -> frozenset[str]:
    """The names of the facts that the unit's own looks and holds ask for."""
    names: set[str] = set()

    def note(leaf: Step | Hold) -> Item:
        for one in leaf.expect if isinstance(leaf, Step) else leaf.until:
            if isinstance(one, Condition):
                names.update(_names(one.predicate))
        return leaf

    for procedure in procedures:
        each_leaf(procedure.body, note)
    return frozenset(names)


def _names(predicate: Predicate) -> Iterator[str]:
    if isinstance(predicate, Fact):
        yield predicate.name
    elif isinstance(predicate, Not):
        yield from _names(predicate.body)
    else:
        for body in getattr(predicate, "bodies", ()):
            yield from _names(body)
