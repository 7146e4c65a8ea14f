"""Remembering what was derived from a state, by what the derivation really looked at.

A derivation is a function of (layout, state) that looks at the state only by index, as ``state[n]``. On its first call
every look is recorded. What it looks at next depends on nothing but the values it has seen, so two states with the same
values in the same places have the same result. The record is a tree: at each branch the index that is looked at, below
it one branch per value, and the results at its leaves. Nothing has to be declared and no declaration can be wrong; a
derivation that used the state in another way would fail at once, because a recorder can do nothing but be indexed.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, Protocol, TypeVar

from stepwell.circuit.layout import Layout, State

T = TypeVar("T")

MOST = 10_000
"""So many results of one derivation are kept; then its tree is begun anew, so that memory stays bounded."""


class Indexed(Protocol):
    """What a derivation may do with a state."""

    def __getitem__(self, index: int, /) -> int: ...


class _Recorder:
    """A state that notes which indices were looked at, in order, each once."""

    __slots__ = ("_state", "seen")

    def __init__(self, state: Indexed) -> None:
        self._state = state
        self.seen: dict[int, int] = {}

    def __getitem__(self, index: int) -> int:
        if index in self.seen:
            return self.seen[index]
        value = self.seen[index] = self._state[index]
        return value


_LEAF, _NEW = -1, -2
"""Stand where a branch has the index that is looked at."""


class _Tree:
    """A branch is a list of the index that is looked at, and what follows by the value seen there; a leaf of ``_LEAF`` and
    the result; what was not met yet of ``_NEW`` and nothing."""

    __slots__ = ("leaves", "root")

    def __init__(self) -> None:
        self.root: list[Any] = [_NEW, None]
        self.leaves = 0

    def find(self, state: Indexed) -> list[Any] | None:
        """The leaf of this state, as [_, result]; None if it was not met yet."""
        node = self.root
        index, below = node
        while index >= 0:
            node = below.get(state[index])
            if node is None:
                return None
            index, below = node
        return node if index == _LEAF else None

    def add(self, seen: dict[int, int], result: object) -> None:
        """One more leaf, under the looks that led to it."""
        if self.leaves >= MOST:
            self.root, self.leaves = [_NEW, None], 0
        node = self.root
        for index, value in seen.items():
            if node[0] == _NEW:
                node[:] = index, {}
            below = node[1]
            node = below.get(value)
            if node is None:
                node = below[value] = [_NEW, None]
        node[:] = _LEAF, result
        self.leaves += 1


def remembered(work: Callable[[Layout, State], T]) -> Callable[[Layout, State], T]:
    """``work`` with a memory that lives and dies with the layout."""

    @wraps(work)
    def recall(layout: Layout, state: State) -> T:
        return looked_up(layout, work, state, lambda seen: work(layout, seen))

    return recall


def looked_up(layout: Layout, key: Hashable, state: State, work: Callable[[State], T]) -> T:
    """What ``work`` makes of the state; ``key`` stands for everything else that its result depends on."""
    tree = layout.memory.get(key)
    if tree is None:
        tree = layout.memory[key] = _Tree()
    leaf = tree.find(state)
    if leaf is None:
        recorder = _Recorder(state)
        result = work(recorder)  # type: ignore[arg-type]  # only indexed: see the top of this file
        tree.add(recorder.seen, result)
        return result
    found: T = leaf[1]
    return found
