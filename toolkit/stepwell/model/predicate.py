"""Conditions over facts of the circuit, as written in rules, holds, expectations, starts and ends.

In a file::

    {open: vent}                          one fact of one part
    {shut: [drain-clamp, return-clamp]}   the fact of each of them
    {position: [pre-tap, air]}            a fact with two arguments
    {flow: forward}                       a fact whose argument is a word
    {not: {open: vent}}   {all: [...]}   {any: [...]}
    {for-every: {s: {kind: pressure-sensor, trait: built-in}}, holds: {dry: s.site}}
    {for-some:  {t: {kind: tap}}, holds: {position: [t, air]}}
"""

from __future__ import annotations

from dataclasses import dataclass, field

from stepwell.diagnostics.span import Span


@dataclass(frozen=True, slots=True)
class Ref:
    """An argument of a fact: a part's id, a variable, a word; ``attr`` follows the part's own reference (``s.site``)."""

    name: str
    attr: str | None = None

    def __str__(self) -> str:
        return self.name if self.attr is None else f"{self.name}.{self.attr}"


@dataclass(frozen=True, slots=True)
class Fact:
    """An atom: the named fact of the given arguments."""

    name: str
    args: tuple[Ref, ...] = ()
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Not:
    """The negation."""

    body: Predicate


@dataclass(frozen=True, slots=True)
class AllOf:
    """Every one of ``bodies``; true of none."""

    bodies: tuple[Predicate, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    """At least one of ``bodies``."""

    bodies: tuple[Predicate, ...]


@dataclass(frozen=True, slots=True)
class Selector:
    """The parts that a quantifier ranges over; ``None`` and empty mean any. ``trait`` words must all be present."""

    kind: str | None = None
    traits: tuple[str, ...] = ()
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Quantified:
    """``every``: for every part of the selection; otherwise for at least one."""

    every: bool
    variable: str
    over: Selector
    body: Predicate


Predicate = Fact | Not | AllOf | AnyOf | Quantified

ALWAYS = AllOf(())
