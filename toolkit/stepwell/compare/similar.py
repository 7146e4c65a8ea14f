"""How alike two steps (holds, questions, repeats) are, from 0 to 1: words, actions, checks, and who does it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from stepwell.compare.tokens import LITTLE, bag, dice, tokens
from stepwell.compare.tree import Node
from stepwell.model.procedure import Action, Condition, Figure, Otherwise, PartName, Reading, Sight, Text, Warn

SPOKEN = {"step": "say", "hold": "title", "choose": "question", "repeat": "title"}
"""The sorts of node that have an id, and the field that says what they are about."""
_CHECKS = ("expect", "if-not", "why", "warn", "confirm", "takes", "missed", "until", "agree", "abort")


@dataclass(frozen=True, slots=True)
class Features:
    """What is compared of one node; ``exact`` is everything but its id and what refers to other ids."""

    sort: str
    words: tuple[str, ...]
    bag: Counter[str]
    pairs: Counter[tuple[str, str]]
    actions: Counter[Any]
    checks: tuple[tuple[str, Any], ...]
    who: str
    exact: tuple[Any, ...]


def features(node: Node) -> Features:
    """The features of a node whose sort is one of ``SPOKEN``."""
    values = dict(node.fields)
    said = values.get(SPOKEN[node.sort], ())
    words = tokens(said) if isinstance(said, tuple) else tokens_of(said)
    heavy = tuple(word for word in words if word not in LITTLE)
    actions: Counter[Any] = Counter()
    for action in values.get("do", ()):
        actions.update(_of_action(action))
    checks = tuple((name, values[name]) for name in _CHECKS if values.get(name))
    exact = tuple(value for name, value in node.fields if name not in ("id", "after") and not _refers(value))
    return Features(
        sort=node.sort,
        words=words,
        bag=bag(words),
        pairs=Counter(pairwise(heavy)),
        actions=actions,
        checks=checks,
        who=str(values.get("who", "")),
        exact=(node.sort, exact),
    )


def tokens_of(text: str) -> tuple[str, ...]:
    """The tokens of plain words."""
    return tokens((Text(text),))


def _of_action(action: Action) -> Iterable[Any]:
    yield ("verb", action.verb)
    for part in action.parts:
        yield (action.verb, part)


def _refers(value: Any) -> bool:
    return isinstance(value, Otherwise) and value.step is not None


class Weights:
    """How much each word says: rare words more than those of every line (inverse document frequency)."""

    def __init__(self, every: Iterable[Features]) -> None:
        seen: Counter[str] = Counter()
        self.count = 0
        for one in every:
            seen.update(set(one.words))
            self.count += 1
        self.seen = seen
        self.known: dict[str, float] = {}

    def of(self, word: str) -> float:
        """The weight of a word; little words next to nothing, parts and figures twice."""
        found = self.known.get(word)
        if found is None:
            found = math.log((self.count + 1) / (self.seen[word] + 0.5)) + 0.4
            found *= 0.15 if word in LITTLE else 1.5 if word[:1] == "{" else 1.0
            self.known[word] = found
        return found

    def words(self, one: Features, other: Features) -> float:
        """How alike the words are: shared weight over all weight, and the order of neighbours."""
        if one.words == other.words:
            return 1.0
        shared = sum(self.of(word) * number for word, number in (one.bag & other.bag).items())
        whole = sum(self.of(w) * n for w, n in one.bag.items()) + sum(self.of(w) * n for w, n in other.bag.items())
        alike = 2 * shared / whole if whole else 0.0
        return 0.75 * alike + 0.25 * dice(one.pairs, other.pairs) if one.pairs and other.pairs else alike

    def score(self, one: Features, other: Features) -> float:
        """How alike two nodes of one sort are."""
        if one.sort != other.sort:
            return 0.0
        if one.exact == other.exact:
            return 1.0
        parts = [(0.5, self.words(one, other)), (0.06, 1.0 if one.who == other.who else 0.0)]
        if one.actions or other.actions:
            parts.append((0.28, dice(one.actions, other.actions)))
        checks = _alike_checks(one, other)
        if checks is not None:
            parts.append((0.22, checks))
        return sum(weight * value for weight, value in parts) / sum(weight for weight, _ in parts)


def _alike_checks(one: Features, other: Features) -> float | None:
    here, there = dict(one.checks), dict(other.checks)
    names = here.keys() | there.keys()
    if not names:
        return None
    total = 0.0
    for name in names:
        first, second = here.get(name), there.get(name)
        if first == second:
            total += 1.0
        elif first is not None and second is not None:
            total += 0.8 * dice(_loose(first), _loose(second))
    return total / len(names)


def _loose(value: Any) -> Counter[Any]:
    """A value as a bag of the words and facts in it."""
    match value:
        case str():
            return bag(tokens_of(value))
        case Sight(words=words):
            return bag(tokens(words))
        case Reading(part=part, at_least=low, at_most=high):
            return Counter([part, str(low), str(high)])
        case Condition(predicate=predicate):
            return Counter([predicate])
        case Otherwise(words=words, step=step, card=card):
            return bag(tokens(words)) if words else Counter([str(step or card)])
        case Warn(hazard=hazard, consequence=consequence, avoidance=avoidance):
            return bag((*tokens(hazard), *tokens(consequence), *tokens(avoidance)))
        case tuple() if value and isinstance(value[0], Text | PartName | Figure):
            return bag(tokens(value))
        case tuple():
            found: Counter[Any] = Counter()
            for one in value:
                found += _loose(one)
            return found
        case _:
            return Counter([value])
