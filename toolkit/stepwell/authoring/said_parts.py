"""Which parts of a rig a clause names, by label or by id, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import islice, product

from stepwell.authoring.said_verbs import WORD
from stepwell.circuit.entry import Verb
from stepwell.model.rig import Part, Rig

LEAST = 0.6
"""Below this nothing is taken for a name."""
FILLER = frozenset(["the", "a", "an", "of", "on", "at", "in", "its", "your", "this", "that", "both", "each", "all", "set"])
_BY_MARK = 0.9
"""How sure a name is of which only the mark is said, such as T1 for "tap T1"."""
_MOST_WAYS = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A part and where the clause names it: the numbers of its words, and the first and last character."""

    part: Part
    words: frozenset[int]
    start: int
    end: int
    score: float


def parts_named(clause: str, verb: Verb, rig: Rig, *, led: bool) -> tuple[Named, ...] | None:
    """One part per place of the verb; None where none is likely enough, or two are equally likely.

    ``led``: the clause begins with its verb, so that the first word is no part of a name.
    """
    said = [(match.start(), match.end(), match[0].lower()) for match in WORD.finditer(clause)]
    places = [
        [one for part in rig.parts if part.kind in kinds if (one := _best(said, part, rig, kinds, led=led)) is not None]
        for kinds in verb.pairs
    ]
    ways = [
        way
        for way in islice(product(*places), 4096)
        if len({one.part.id for one in way}) == len(way)
        and not any(a.words & b.words for a in way for b in way if a is not b)
    ]
    ways.sort(key=lambda way: -_weight(way))
    if not ways or (not led and min(ways[0][0].words) != _first(said)):
        return None
    level = [way for way in ways if _weight(ways[0]) - _weight(way) < 0.05]
    if len({frozenset(one.part.id for one in way) for way in level}) > 1:
        return None
    return min(level, key=lambda way: way[0].start)


def _size(way: tuple[Named, ...]) -> int:
    return sum(len(one.words) for one in way)


def _weight(way: tuple[Named, ...]) -> float:
    """How likely; a name of which more words are said is the more exact one: "upper bag port" is not the bag port."""
    return sum(one.score + 0.06 * len(one.words) for one in way)


def _first(said: list[tuple[int, int, str]]) -> int:
    """The first word of a clause that could be part of a name."""
    return next((number for number, one in enumerate(said) if one[2] not in FILLER), 0)


def _best(said: list[tuple[int, int, str]], part: Part, rig: Rig, kinds: Iterable[str], *, led: bool) -> Named | None:
    best: Named | None = None
    for name in dict.fromkeys((part.label.lower(), part.id.replace("-", " "))):
        wanted = [word for word in WORD.findall(name) if word not in FILLER]
        made = _as(said, part, wanted, led=led)
        if made is not None and (best is None or made.score > best.score):
            best = made
    marked = _by_mark(said, part, rig, kinds)
    if marked is not None and (best is None or marked.score > best.score):
        best = marked
    return best if best is not None and best.score >= LEAST else None


def _as(said: list[tuple[int, int, str]], part: Part, wanted: list[str], *, led: bool) -> Named | None:
    """The place where the words of a name stand closest together."""
    hits = [
        [number for number, one in enumerate(said) if number >= led and _like(one[2], word)]
        for word in dict.fromkeys(wanted)
    ]
    found = [numbers for numbers in hits if numbers]
    if not found:
        return None
    way = min(islice(product(*found), _MOST_WAYS), key=lambda way: max(way) - min(way))
    inside = range(min(way), max(way) + 1)
    strange = sum(said[number][2] not in FILLER for number in inside) - len(set(way))
    score = len(set(way)) / len(hits) - 0.1 * max(strange, 0)
    return Named(part=part, words=frozenset(way), start=said[min(way)][0], end=said[max(way)][1], score=round(score, 2))


def _by_mark(said: list[tuple[int, int, str]], part: Part, rig: Rig, kinds: Iterable[str]) -> Named | None:
    """A mark such as ``P1`` that only this part has among those the verb is for."""
    marks = {word for word in WORD.findall(part.label.lower()) if any(sign.isdigit() for sign in word)}
    others = " ".join(one.label.lower() for one in rig.parts if one.kind in kinds and one.id != part.id)
    for number, (start, end, word) in enumerate(said):
        if word in marks and word not in WORD.findall(others):
            return Named(part=part, words=frozenset({number}), start=start, end=end, score=_BY_MARK)
    return None


def _like(said: str, wanted: str) -> bool:
    if said == wanted or said.rstrip("s") == wanted.rstrip("s"):
        return True
    return len(wanted) > 4 and said[0] == wanted[0] and SequenceMatcher(None, said, wanted).ratio() >= 0.85
