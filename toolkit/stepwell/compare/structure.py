"""What comes, goes and moves: the fewest moves that explain the new order, frames that only wrap or unwrap apart."""

from __future__ import annotations

from dataclasses import dataclass, field

from stepwell.compare.assign import staying
from stepwell.compare.similar import SPOKEN
from stepwell.compare.tree import Flat

_FIRST, _LAST = -1_000_000, 1_000_000
Place = tuple[int, int, int]


@dataclass(slots=True, kw_only=True)
class Structure:
    """Handles of the new tree unless said otherwise.

    ``moved`` are kept nodes that changed their place, ``carried`` those that only stand in another frame than before
    and the frame that explains it: (new handle of a wrapping frame) or (old handle of a dissolved one).
    """

    added: list[int] = field(default_factory=list)
    removed: list[int] = field(default_factory=list)
    """Old handles."""
    moved: list[int] = field(default_factory=list)
    wrapped: dict[int, list[int]] = field(default_factory=dict)
    """Added frame: kept nodes that it took in where they stood."""
    unwrapped: dict[int, list[int]] = field(default_factory=dict)
    """Removed frame (old handle): kept nodes (new handles) that stay where they were without it."""


def structure(old: Flat, new: Flat, pairs: dict[int, int]) -> Structure:
    """Compare the shapes of two trees whose nodes are matched by ``pairs``."""
    return _Structure(old, new, pairs).find()


class _Structure:
    def __init__(self, old: Flat, new: Flat, pairs: dict[int, int]) -> None:
        self.old, self.new, self.pairs = old, new, pairs
        self.back = {there: here for here, there in pairs.items()}
        self.index = {child: n for inner in old.children for n, child in enumerate(inner)}
        self.index_new = {child: n for inner in new.children for n, child in enumerate(inner)}
        self.found = Structure(
            added=[at for at in range(len(new.nodes)) if at not in self.back],
            removed=[at for at in range(len(old.nodes)) if at not in pairs],
        )

    def find(self) -> Structure:
        for parent in range(len(self.new.nodes)):
            if parent in self.back:
                self.inside(parent)
        settled = {child for inner in self.found.wrapped.values() for child in inner}
        for parent in self.found.added:
            self.found.moved += [child for child in self.new.children[parent] if child in self.back and child not in settled]
        self.found.moved.sort()
        return self.found

    def inside(self, parent: int) -> None:
        """The children of a kept node."""
        here = self.back[parent]
        places: list[Place] = []
        members: list[int] = []
        dissolved: dict[int, int] = {}
        for child in self.new.children[parent]:
            place = self.place_of_frame(child, here, parent) if child not in self.back else None
            if child in self.back:
                frame = self.old.parents[self.back[child]]
                place = self.place(self.back[child], here)
                if place is not None and frame != here:
                    dissolved[child] = frame
            if place is not None:
                places.append(place)
                members.append(child)
        kept = staying(places, [self.weight(child) for child in members])
        stay = {members[at] for at in kept}
        for child in self.new.children[parent]:
            if child not in self.back:
                if child in stay:
                    self.found.wrapped[child] = [one for one in self.new.children[child] if one in self.back]
            elif child not in stay:
                self.found.moved.append(child)
            elif child in dissolved:
                self.found.unwrapped.setdefault(dissolved[child], []).append(child)

    def weight(self, child: int) -> float:
        """How much would have to be ticked if it moved; a frame weighs as much as what is in it."""
        leaves, waiting = 0, [child]
        while waiting:
            at = waiting.pop()
            leaves += self.new.nodes[at].sort in SPOKEN
            waiting += self.new.children[at]
        return max(1, leaves) + (0.25 if self.new.nodes[child].sort not in ("step",) else 0.0)

    def place(self, at: int, here: int) -> Place | None:
        """Where a kept node stood among the children of ``here``, seen through a frame that is gone."""
        frame = self.old.parents[at]
        if frame == here:
            return (self.index[at], 0, 0)
        if frame < 0 or frame in self.pairs or self.old.nodes[frame].sort in SPOKEN:
            return None
        if self.old.parents[frame] == here:
            return (self.index[frame], 0, self.index[at])
        if self.old.parents[frame] == self.old.parents[here] and here > 0 and self.old.nodes[here].sort not in SPOKEN:
            step = self.kept_beside(frame, here)
            if step:
                return (_LAST if step > 0 else _FIRST, 0, self.index[at])
        return None

    def kept_beside(self, frame: int, here: int) -> int:
        """1 if the frame stood directly behind ``here``, -1 if directly before it, else 0."""
        siblings = [one for one in self.old.children[self.old.parents[here]] if one in self.pairs or one == frame]
        apart = siblings.index(frame) - siblings.index(here)
        return apart if abs(apart) == 1 else 0

    def place_of_frame(self, frame: int, here: int, parent: int) -> Place | None:
        """The place of an added frame that only takes in what stood there, or what was the end of its neighbour."""
        if self.new.nodes[frame].sort in SPOKEN:
            return None
        inner = [self.back[child] for child in self.new.children[frame] if child in self.back]
        if not inner:
            return None
        origins = {self.old.parents[at] for at in inner}
        at = [self.index[one] for one in inner]
        if len(origins) != 1 or at != sorted(at):
            return None
        origin = origins.pop()
        among = [one for one in self.old.children[origin] if one in self.pairs and one not in inner]
        if origin == here:
            between = [one for one in among if at[0] < self.index[one] < at[-1]]
            return None if any(self.new.parents[self.pairs[one]] == parent for one in between) else (at[0], 0, 0)
        if origin not in self.pairs or self.old.parents[origin] != here:
            return None
        if self.new.parents[self.pairs[origin]] != parent:
            return None
        return self.cut_off(frame, self.pairs[origin], origin, inner, parent)

    def cut_off(self, frame: int, beside: int, origin: int, inner: list[int], parent: int) -> Place | None:
        apart = self.index_new[frame] - self.index_new[beside]
        stayed = [self.index[one] for one in self.old.children[origin] if one in self.pairs and one not in inner]
        stayed = [n for n in stayed if self.new.parents[self.pairs[self.old.children[origin][n]]] == beside]
        first, last = self.index[inner[0]], self.index[inner[-1]]
        if apart == 1 and all(n < first for n in stayed):
            return (self.index[origin], 1, 0)
        if apart == -1 and all(n > last for n in stayed):
            return (self.index[origin], -1, 0)
        return None


def blocks(structure: Structure, old: Flat, new: Flat, pairs: dict[int, int]) -> list[list[int]]:
    """Moved nodes that travelled together, in the order of the new page."""
    back = {there: here for here, there in pairs.items()}
    moved = set(structure.moved)
    found: list[list[int]] = []
    for at in structure.moved:
        last = found[-1][-1] if found else None
        if last is not None and new.parents[last] == new.parents[at] and _next(new, last) == at:
            here, there = back[last], back[at]
            if old.parents[here] == old.parents[there]:
                siblings = [
                    one
                    for one in old.children[old.parents[here]]
                    if one in (here, there) or (one in pairs and pairs[one] not in moved) or one in pairs
                ]
                if siblings.index(there) - siblings.index(here) == 1:
                    found[-1].append(at)
                    continue
        found.append([at])
    return found


def _next(new: Flat, at: int) -> int | None:
    siblings = new.children[new.parents[at]]
    place = siblings.index(at) + 1
    return siblings[place] if place < len(siblings) else None
