"""Which step of the old version is which of the new one.

Ids come first, but are checked against what stands there: a pair with one id is taken at once only where the two are
very alike. What is left is matched where it is the same in everything but its id, then by likeness with an optimal
assignment in which a common id, neighbours and the place on the page speak for a pair. Frames (stages, lanes, answers)
have no ids; they are matched by their titles and by the steps in them.
"""

from __future__ import annotations

from collections import Counter, defaultdict

from stepwell.compare.assign import assign
from stepwell.compare.similar import SPOKEN, Features, Weights, features, tokens_of
from stepwell.compare.tokens import bag, dice
from stepwell.compare.tree import Flat

SURE = 0.8
"""Likeness from which a common id is believed at once."""
OWN = 0.33
"""Least likeness of a pair with a common id; below, the id has been put on something else."""
ALIKE = 0.46
"""Least likeness of a pair without a common id."""
_FRAME = 0.4


def match(old: Flat, new: Flat) -> dict[int, int]:
    """Old handle to new handle for everything that was kept; the roots belong together."""
    return _Match(old, new).pairs()


class _Match:
    def __init__(self, old: Flat, new: Flat) -> None:
        self.old, self.new = old, new
        self.one = {at: features(node) for at, node in enumerate(old.nodes) if node.sort in SPOKEN}
        self.other = {at: features(node) for at, node in enumerate(new.nodes) if node.sort in SPOKEN}
        self.weights = Weights((*self.one.values(), *self.other.values()))
        self.found: dict[int, int] = {0: 0}
        self.taken: set[int] = {0}
        self.scores: dict[tuple[int, int], float] = {}

    def pairs(self) -> dict[int, int]:
        self.by_id()
        self.by_content()
        for _ in range(2):
            self.by_likeness()
        self.frames()
        return self.found

    def take(self, here: int, there: int) -> None:
        self.found[here] = there
        self.taken.add(there)

    def score(self, here: int, there: int) -> float:
        key = (here, there)
        known = self.scores.get(key)
        if known is None:
            known = self.scores[key] = self.weights.score(self.one[here], self.other[there])
        return known

    def id_of(self, flat: Flat, at: int) -> str:
        return str(flat.nodes[at].get("id") or "")

    def by_id(self) -> None:
        named = {self.id_of(self.new, at): at for at in self.other}
        for here in self.one:
            there = named.get(self.id_of(self.old, here))
            if there is not None and self.id_of(self.old, here) and self.score(here, there) >= SURE:
                self.take(here, there)

    def by_content(self) -> None:
        """What is the same but for its id, where there is only one of it on each side."""
        kept: dict[object, list[int]] = defaultdict(list)
        for there, one in self.other.items():
            if there not in self.taken:
                kept[_key(one)].append(there)
        counts = Counter(_key(one) for here, one in self.one.items() if here not in self.found)
        for here, one in self.one.items():
            same = kept.get(_key(one), []) if here not in self.found else []
            if len(same) == 1 and counts[_key(one)] == 1:
                self.take(here, same[0])

    def by_likeness(self) -> None:
        left = [at for at in self.one if at not in self.found]
        right = [at for at in self.other if at not in self.taken]
        wanted: dict[tuple[int, int], float] = {}
        steps, others = list(self.one), list(self.other)
        place = {at: n / max(1, len(steps)) for n, at in enumerate(steps)}
        place_new = {at: n / max(1, len(others)) for n, at in enumerate(others)}
        before, after = _neighbours(steps)
        before_new, after_new = _neighbours(others)
        for here in left:
            for there in right:
                alike = self.score(here, there)
                own = bool(self.id_of(self.old, here)) and self.id_of(self.old, here) == self.id_of(self.new, there)
                if alike < (OWN if own else ALIKE):
                    continue
                near = 0.08 * (self.found.get(before.get(here, -1), -2) == before_new.get(there, -1))
                near += 0.08 * (self.found.get(after.get(here, -1), -2) == after_new.get(there, -1))
                near += 0.04 * (1 - abs(place[here] - place_new[there]))
                wanted[here, there] = alike + near + 0.25 * own
        for here, there in assign(wanted).items():
            self.take(here, there)

    def frames(self) -> None:
        leaves = [self.leaves(flat) for flat in (self.old, self.new)]
        image = {self.found[at] for at in self.found}
        wanted: list[tuple[float, int, int]] = []
        for here, node in enumerate(self.old.nodes):
            for there, other in enumerate(self.new.nodes):
                if here in self.found or there in self.taken or not _may_be(node.sort, other.sort):
                    continue
                inner = {self.found[at] for at in leaves[0][here] if at in self.found}
                outer = leaves[1][there] & image
                shared = 2 * len(inner & outer) / (len(inner) + len(outer)) if inner or outer else None
                title = dice(bag(tokens_of(_title(node))), bag(tokens_of(_title(other))))
                if _title(node) == _title(other):
                    title = 1.0
                score = title if shared is None else 0.5 * title + 0.5 * shared
                score += 0.05 * (node.sort == other.sort) + 0.1 * (
                    self.found.get(self.old.parents[here]) == self.new.parents[there]
                )
                if score >= _FRAME + 0.1:
                    wanted.append((score, here, there))
        for _, here, there in sorted(wanted, key=lambda one: (-one[0], one[1], one[2])):
            if here not in self.found and there not in self.taken:
                self.take(here, there)

    @staticmethod
    def leaves(flat: Flat) -> list[set[int]]:
        """Per node the handles of the steps and holds below it."""
        found: list[set[int]] = [set() for _ in flat.nodes]
        for at in range(len(flat.nodes) - 1, 0, -1):
            if flat.nodes[at].sort in SPOKEN:
                found[at].add(at)
            found[flat.parents[at]] |= found[at]
        for at, node in enumerate(flat.nodes):
            if node.sort in SPOKEN:
                found[at].discard(at)
        return found


def _key(one: Features) -> object:
    return one.exact


def _neighbours(order: list[int]) -> tuple[dict[int, int], dict[int, int]]:
    before = dict(zip(order[1:], order, strict=False))
    return before, {one: other for other, one in before.items()}


_FREE = frozenset(("stage", "any-order"))


def _may_be(one: str, other: str) -> bool:
    return one not in SPOKEN and other not in SPOKEN and (one == other or {one, other} <= _FREE)


def _title(node: object) -> str:
    get = node.get  # type: ignore[attr-defined]
    return str(get("title") or get("label") or get("who") or get("name") or "")
