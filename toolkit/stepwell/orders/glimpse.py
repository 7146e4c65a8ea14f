"""A look for examples at a few runs of a program."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic

from stepwell.orders.alike import Alike
from stepwell.orders.program import Program
from stepwell.orders.search import Bounds, Follow, Search
from stepwell.orders.upon import Begun, build_upon
from stepwell.orders.world import S, World


class Glimpse(Generic[S]):
    """What was ``broken`` in the few runs that were looked at, or in those of them that the one it builds upon has not.

    ``every``: these were all the runs that there are. ``whole``: all that were to be followed were.
    """

    def __init__(self, search: Search[S], *, whole: bool, every: bool) -> None:
        self.search, self.whole, self.every = search, whole, every
        self.broken = frozenset(search.found.broken)


def glimpse(
    program: Program,
    world: World[S],
    *,
    wanted: frozenset[str] | None,
    follow: Follow,
    bounds: Bounds,
    clock: Callable[[], float],
    upon: Glimpse[S] | None = None,
    common: Alike | None = None,
) -> Glimpse[S]:
    """Look for examples where only one possible action is followed at each place, though every answer and every look.

    It is cheap and decides nothing, so nothing but the examples is handed out, those of ``wanted`` rules alone. What
    ``upon`` (which followed the same actions of a program that differs little, in the same world) has looked at is left
    out, if it broke nothing wanted; ``common`` is what the two programs have in common, if that is known.
    """
    search = Search(program, world, wanted, bounds, clock, follow)
    every = True
    begun: Begun[S] = search.starts()
    if upon is not None and upon.whole and not (upon.broken if wanted is None else upon.broken & wanted):
        every, begun = upon.every, build_upon(upon.search, search, common)
    _, reason = search.explore(begun)
    return Glimpse(search, whole=reason is None, every=every and reason is None and not search.passed_by)
