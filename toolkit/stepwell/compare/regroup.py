"""Steps that were written in two, and two that were put into one: told by what the words and actions cover."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from stepwell.compare.tokens import bag, covered, tokens
from stepwell.compare.tree import Flat, Node

_WHOLE, _PART, _GAIN = 0.7, 0.5, 0.15
_SURE_PART, _SURE_GAIN = 0.9, 0.08
"""A half that says hardly anything but what the whole said needs to add less to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Regroup:
    """``one`` stands alone on one side, ``kept`` and ``other`` share it on the other. Handles of their own sides."""

    one: int
    kept: int
    other: int


def splits(old: Flat, new: Flat, pairs: Mapping[int, int], added: Iterable[int]) -> list[Regroup]:
    """(old step, its match, added step) where the two new ones together say what the old one said."""
    return list(_regroups(old, new, dict(pairs), added))


def merges(old: Flat, new: Flat, pairs: Mapping[int, int], removed: Iterable[int]) -> list[Regroup]:
    """(new step, the old one that it matches, removed step): a split seen from the other side."""
    return list(_regroups(new, old, {there: here for here, there in pairs.items()}, removed))


def with_own_ids(old: Flat, new: Flat, pairs: dict[int, int]) -> dict[int, int]:
    """The pairs, but where a step was written in two, or two put into one, the half with the old id stays."""
    back = {there: here for here, there in pairs.items()}
    found = dict(pairs)
    for one in splits(old, new, pairs, [at for at in range(len(new.nodes)) if at not in back]):
        if old.nodes[one.one].get("id") == new.nodes[one.other].get("id") != "":
            found[one.one] = one.other
    for one in merges(old, new, pairs, [at for at in range(len(old.nodes)) if at not in pairs]):
        if new.nodes[one.one].get("id") == old.nodes[one.other].get("id") != "":
            del found[one.kept]
            found[one.other] = one.one
    return found


def _regroups(whole: Flat, parts: Flat, pairs: dict[int, int], extra: Iterable[int]) -> Iterable[Regroup]:
    back = {there: here for here, there in pairs.items()}
    steps = [at for at, node in enumerate(parts.nodes) if node.sort == "step"]
    place = {at: n for n, at in enumerate(steps)}
    used: set[int] = set()
    for at in extra:
        if parts.nodes[at].sort != "step":
            continue
        best: tuple[float, int] | None = None
        for n in (place[at] - 1, place[at] + 1, place[at] - 2, place[at] + 2):
            if not 0 <= n < len(steps) or steps[n] not in back or back[steps[n]] in used:
                continue
            score = _fits(whole.nodes[back[steps[n]]], parts.nodes[steps[n]], parts.nodes[at])
            if score is not None and (best is None or score > best[0]):
                best = (score, steps[n])
        if best is not None:
            used.add(back[best[1]])
            yield Regroup(one=back[best[1]], kept=best[1], other=at)


def _fits(one: Node, kept: Node, other: Node) -> float | None:
    """How well ``kept`` and ``other`` together make ``one``; None if they do not."""
    if one.get("say") == kept.get("say") and one.get("do") == kept.get("do"):
        return None
    if one.get("who") != other.get("who") and one.get("who") != kept.get("who"):
        return None
    whole, half, rest = (bag(tokens(node.get("say"))) for node in (one, kept, other))
    together = covered(whole, half + rest)
    gain = together - covered(whole, half)
    does, done, more = (_actions(node) for node in (one, kept, other))
    if does:
        fits = done + more == does and bool(more) and bool(done)
        if not fits and not (does == done and not more):
            return None
        if fits and together >= 0.5:
            return together + 1.0
        if not fits and more:
            return None
    elif done or more:
        return None
    share = covered(rest, whole)
    if together >= _WHOLE and ((share >= _PART and gain >= _GAIN) or (share >= _SURE_PART and gain >= _SURE_GAIN)):
        return together + gain
    return None


def _actions(node: Node) -> Counter[Any]:
    found: Counter[Any] = Counter()
    for action in node.get("do") or ():
        found.update((action.verb, part, action.options) for part in action.parts or ("",))
    return found


def keeps(value: Any, others: Iterable[Any]) -> bool:
    """Whether a value of a field stands, whole, in one of the others or, for a list, in all of them together."""
    others = [one for one in others if one]
    if not value or value in others:
        return True
    if isinstance(value, tuple):
        together = [item for one in others if isinstance(one, tuple) for item in one]
        return all(item in together for item in value)
    return False
