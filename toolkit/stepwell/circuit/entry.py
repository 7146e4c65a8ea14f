"""The shape of the vocabulary: what a part kind, a verb and a fact each declare.

The loader checks files against these entries, the schemas' word lists are tested against them, ``explain`` prints them,
and ``stepwell.circuit`` computes with them. One entry, one module.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from stepwell.model.tri import Tri

if TYPE_CHECKING:
    from stepwell.circuit.bench import Bench
    from stepwell.circuit.view import View
    from stepwell.model.procedure import Action


class Family(StrEnum):
    """What a part is in the graph of the circuit."""

    SPACE = "space"
    """Holds something."""
    GATE = "gate"
    """Stands between two spaces, or between a space and the open air."""
    END = "end"
    """A connector on a space, which may be joined to another end."""
    EQUIPMENT = "equipment"
    """Not in the fluid path; has states of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureSpec:
    """A physical figure of a part kind: ``dimension`` is one of length, volume, pressure, speed, time, flow."""

    name: str
    dimension: str
    summary: str
    required: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RefSpec:
    """A reference to other parts, whose kind must be one of ``kinds`` (empty: any)."""

    name: str
    kinds: tuple[str, ...]
    summary: str
    required: bool = False
    many: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WordSpec:
    """A word that a part of this kind carries, one of ``choices`` (empty: any word)."""

    name: str
    choices: tuple[str, ...]
    summary: str
    required: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PartKind:
    """One kind of part. ``states`` are (word, meaning) pairs for baselines and ``starts``; the first is the default."""

    name: str
    family: Family
    summary: str
    figures: tuple[FigureSpec, ...] = ()
    refs: tuple[RefSpec, ...] = ()
    words: tuple[WordSpec, ...] = ()
    traits: tuple[tuple[str, str], ...] = ()
    sorts: tuple[str, ...] = ()
    """Traits of which a part must have one: what is right for it differs so much that nothing may be assumed."""
    states: tuple[tuple[str, str], ...] = ()
    variables: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """The state variables that the state words belong to, each with its words in order; the first is the default.

    ``contents``, ``speed`` and ``mate`` are variables with values of their own (see ``stepwell.circuit.layout``).
    """


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionSpec:
    """An option of a verb. ``takes``: ``word`` (one of ``choices``), ``flag``, or a dimension (``time``, ``speed`` ...)."""

    name: str
    takes: str
    summary: str
    choices: tuple[str, ...] = ()
    required: bool = False


class Arity(StrEnum):
    """How many parts one action of a verb takes."""

    NONE = "none"
    EACH = "each"
    """One part; a list in the file is that many actions in sequence."""
    PAIR = "pair"
    """Exactly two parts, as one action."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verb:
    """One thing that a person can do.

    ``words`` are the leading verbs of a ``say`` that mean it (imperative, lower case). ``does`` tells it in the third
    person with ``{0}``, ``{1}`` for the parts' labels and ``{to}``, ``{for}``, ``{at}`` for options ("opens {0}").
    ``effect`` writes to the bench; it returns why the action can't be done, or None. A refused action writes nothing.
    ``pairs`` lists, per part position, the kinds allowed there (one entry for EACH, two for PAIR).
    """

    name: str
    summary: str
    words: tuple[str, ...]
    does: str
    pairs: tuple[tuple[str, ...], ...]
    arity: Arity
    effect: Callable[[Bench, Action], str | None]
    options: tuple[OptionSpec, ...] = ()
    changes_state: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class ArgSpec:
    """An argument of a fact: a part of one of ``kinds`` (empty: any), or one of ``choices`` if that is not empty."""

    name: str
    kinds: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FactEntry:
    """One question that may be asked of a state.

    ``yes`` and ``no`` are sentences with ``{0}``, ``{1}`` for the arguments. ``observed``: who or what can tell (``eye``,
    ``display``, ``gauge``, ``touch``, ``hand``); empty means nobody, so it can't stand in an ``expect``.
    ``passing`` facts are about the transition that led to a state, not about the state.
    """

    name: str
    summary: str
    args: tuple[ArgSpec, ...]
    yes: str
    no: str
    observed: tuple[str, ...]
    evaluate: Callable[[View, tuple[str, ...]], Tri]
    passing: bool = False
