"""Words of a text as a matcher sees them: lower case, light stems, parts and figures as tokens of their own."""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache
from typing import Any

from stepwell.model.procedure import Figure, PartName, Text, Words

_WORD = re.compile(r"[a-z0-9]+(?:[.,][0-9]+)?")
LITTLE = frozenset(
    (
        "a", "an", "the", "of", "to", "at", "in", "on", "and", "or", "for", "from", "with", "by", "is", "are", "be", "it",
        "its", "this", "that", "then", "into", "as", "up", "out", "off", "no", "not", "than",
    )
)  # fmt: skip
"""Words that say little about what a step is; a change of them is still a change."""


def stem(word: str) -> str:
    """The word without the endings by which an editor changes it most often."""
    for ending, least in (("ing", 6), ("es", 6), ("ed", 5), ("s", 4)):
        if len(word) >= least and word.endswith(ending) and not word.endswith("ss"):
            return word[: -len(ending)]
    return word


@lru_cache(maxsize=4096)
def tokens(words: Words) -> tuple[str, ...]:
    """Every word in order; a part stands as ``{id}``, a figure as ``{name}``."""
    found: list[str] = []
    for run in words:
        match run:
            case Text(words=text):
                found.extend(stem(word) for word in _WORD.findall(text.lower()))
            case PartName(part=name) | Figure(name=name):
                found.append(f"{{{name}}}")
    return tuple(found)


def bag(words: tuple[str, ...]) -> Counter[str]:
    """The words that carry meaning, counted; all of them where none does."""
    heavy = Counter(word for word in words if word not in LITTLE)
    return heavy or Counter(words)


def dice(one: Counter[Any], other: Counter[Any]) -> float:
    """Twice what is shared over all there is; 1 for two empty bags."""
    total = one.total() + other.total()
    return 2 * (one & other).total() / total if total else 1.0


def covered(part: Counter[str], whole: Counter[str]) -> float:
    """How much of ``part`` stands in ``whole``, from 0 to 1."""
    return (part & whole).total() / part.total() if part else 0.0
