"""The words that files may use: part kinds, verbs and facts, looked up by name."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

from stepwell.circuit import catalogue
from stepwell.circuit.entry import FactEntry, PartKind, Verb


@dataclass(frozen=True, slots=True, kw_only=True)
class Vocabulary:
    """Entries of the circuit's catalogue, or stand-ins for them in a test."""

    part_kinds: tuple[PartKind, ...]
    verbs: tuple[Verb, ...]
    facts: tuple[FactEntry, ...]
    kinds_by_name: dict[str, PartKind] = field(init=False, compare=False, repr=False)
    verbs_by_name: dict[str, Verb] = field(init=False, compare=False, repr=False)
    facts_by_name: dict[str, FactEntry] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "kinds_by_name", {entry.name: entry for entry in self.part_kinds})
        object.__setattr__(self, "verbs_by_name", {entry.name: entry for entry in self.verbs})
        object.__setattr__(self, "facts_by_name", {entry.name: entry for entry in self.facts})


@cache
def built_in() -> Vocabulary:
    """What this version of the tool knows."""
    return Vocabulary(part_kinds=catalogue.PART_KINDS, verbs=catalogue.VERBS, facts=catalogue.FACTS)


def state_words(kind: PartKind) -> tuple[str, ...]:
    """The words that a baseline may say of a part of this kind."""
    words = [word for name, words in kind.variables for word in words if word and name]
    if not words:
        words = [word for word, _ in kind.states]
    return tuple(dict.fromkeys(words))


def variable_of(kind: PartKind, word: str) -> str:
    """The name of the state variable that a state word sets; the kind's own name where it declares none."""
    return next((name for name, words in kind.variables if word in words), kind.name)
