"""A circuit set with its equipment: parts, how they join, what they hold, and its named baseline states."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from stepwell.diagnostics.span import Span
from stepwell.model.quantity import Quantity

ATMOSPHERE = "air"
"""The reserved word that ends a chain in the open air."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing that a person can point at.

    ``data`` are the physical figures the kind declares (bore, length, volume, height ...), ``refs`` its references to
    other parts (``site``, ``tap`` ...), ``traits`` words that rules and verbs look at (``built-in``, ``kept`` ...),
    ``settings`` the state it has in every baseline that does not say otherwise.
    """

    id: str
    kind: str
    label: str
    place: str = ""
    traits: tuple[str, ...] = ()
    data: tuple[tuple[str, Quantity], ...] = ()
    refs: tuple[tuple[str, tuple[str, ...]], ...] = ()
    words: tuple[tuple[str, str], ...] = ()
    """Words that the kind declares besides its traits, such as what a connector ``fits``."""
    span: Span | None = field(default=None, compare=False)

    def figure(self, name: str) -> Quantity | None:
        """The physical figure called ``name``, if the rig states it."""
        return dict(self.data).get(name)

    def word(self, name: str) -> str | None:
        """The word called ``name`` (``fits`` ...), if the rig states it."""
        return dict(self.words).get(name)

    def ref(self, name: str) -> tuple[str, ...]:
        """The ids of the parts that the reference ``name`` leads to; empty if there are none."""
        return dict(self.refs).get(name, ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Parts in the order in which fluid could meet them; neighbours are joined. May end in ``air``."""

    parts: tuple[str, ...]
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """``part: word`` of a baseline or of a procedure's ``starts``; ``joined: [a, b]`` becomes one Setting per end."""

    part: str
    word: str
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline:
    """A named state of the whole rig, such as ``dry-assembled``; what it does not set is at the kind's default."""

    name: str
    settings: tuple[Setting, ...]
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """An approved document like a procedure: a wrong rig voids every verdict."""

    id: str
    title: str
    version: str
    parts: tuple[Part, ...]
    chains: tuple[Chain, ...]
    baselines: tuple[Baseline, ...]
    inspected: date | None = None
    path: str = ""
    span: Span | None = field(default=None, compare=False)

    def part(self, part_id: str) -> Part | None:
        """The part with this id, or None."""
        return next((part for part in self.parts if part.id == part_id), None)
