"""The union of directed simple paths: which spaces lie on an open way from a source to an outlet.

Enumerating simple paths is exact; the biconnected-component shortcut over-fills as soon as direction matters. The work
is bounded: past ``limit`` steps the answer falls back to everything that could lie on a path, marked as not exact, and
callers must treat that as "may be".
"""

from __future__ import annotations

import itertools
from collections.abc import Collection
from functools import lru_cache
from typing import NamedTuple

from stepwell.circuit.links import KEPT, Link, Links, reached, reversed_links

PATH_STEPS = 50_000


class OnPaths(NamedTuple):
    """``spaces`` on at least one path (source and target included), ``ways`` the links used, as (from, to)."""

    spaces: frozenset[int]
    ways: frozenset[tuple[int, int]]
    exact: bool


NOWHERE = OnPaths(frozenset(), frozenset(), True)


def union_of_paths(
    links: Links,
    source: int,
    targets: Collection[int],
    *,
    closed: Collection[int] = (),
    stop: Collection[int] = (),
    gas_at_end: bool = False,
    limit: int = PATH_STEPS,
) -> OnPaths:
    """Spaces and ways on directed simple paths from ``source`` to any of ``targets``.

    ``closed`` spaces may not be entered; ``stop`` spaces may be entered only as the path's last space. A gas-only way
    may be used only as the last way of a path, and only if ``gas_at_end``. If ``source`` is itself a target, closed
    walks that return to it count (a pump's loop).
    """
    ends = frozenset(closed), frozenset(stop)
    return _union_of_paths(links, source, frozenset(targets), *ends, gas_at_end, limit)


@lru_cache(KEPT)
def _union_of_paths(
    links: Links,
    source: int,
    targets: frozenset[int],
    closed: frozenset[int],
    stop: frozenset[int],
    gas_at_end: bool,
    limit: int,
) -> OnPaths:
    helpful = reached(reversed_links(links), targets, gas=gas_at_end)
    spaces: set[int] = set()
    ways: set[tuple[int, int]] = set()
    path = [source]
    on_path = {source}
    steps = 0

    def usable(link: Link) -> bool:
        if link.to in closed or link.to not in helpful:
            return False
        return not link.gas_only or (gas_at_end and link.to in targets)

    stack = [iter(links[source])]
    while stack:
        link = next(stack[-1], None)
        if link is None:
            stack.pop()
            on_path.discard(path.pop())
            continue
        steps += 1
        if steps > limit:
            spaces_all = frozenset(helpful & reached(links, [source], gas=gas_at_end) - set(closed))
            return OnPaths(spaces_all, frozenset(_ways_among(links, spaces_all)), False)
        if not usable(link):
            continue
        if link.to in targets:
            walk = [*path, link.to]
            spaces.update(walk)
            ways.update(itertools.pairwise(walk))
        if link.to in on_path or link.to in stop or link.gas_only:
            continue
        path.append(link.to)
        on_path.add(link.to)
        stack.append(iter(links[link.to]))
    return OnPaths(frozenset(spaces), frozenset(ways), True)


def _ways_among(links: Links, spaces: Collection[int]) -> set[tuple[int, int]]:
    return {(here, link.to) for here in spaces for link in links[here] if link.to in spaces}
