"""Whether chosen actions can all be the last to have made something so: one order for all of them, or none.

A *link* goes from the action that made something so (or the start) to where it is wanted. An action that surely undoes it
must not come between: it comes before the one, or after the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stepwell.orders.program import bits


class Link(NamedTuple):
    """``clears``: mask of the nodes that undo it. ``by``: who made it so, -1 for the start. ``at``: the node right before
    which it is wanted, -1 for the end of the run."""

    clears: int
    by: int
    at: int


def last_at_the_end(below: Sequence[int], links: Sequence[Link], done: int) -> list[int] | None:
    """What must come before each node, ``below`` and what the links to the end add; None if that goes round in a circle.

    ``done``: mask of the nodes that are surely done. Links to other nodes are not looked at.
    """
    befores: dict[int, int] = {}
    for clears, by, at in links:
        against = clears & done
        if at >= 0:
            continue
        if by < 0:
            if against:
                return None
            continue
        befores[by] = befores.get(by, 0) | against & ~(1 << by)
    first: dict[int, int] = {}
    for node, earlier in befores.items():
        mask = earlier
        for one in bits(earlier):
            mask |= below[one]
        first[node] = mask | below[node]
    for between in befores:
        for node in befores:
            if first[node] >> between & 1:
                first[node] |= first[between]
    if any(mask >> node & 1 for node, mask in first.items()):
        return None
    found = list(below)
    for node, mask in first.items():
        found[node] = mask
    return found


def in_one_order(below: Sequence[int], links: Sequence[Link], done: int) -> list[int] | None:
    """The same for all links, wherever they lead: what must come before each node in one order that fits, or None."""
    found: list[int] | None = list(below)
    for _, by, at in links:
        if found is not None and by >= 0 and at >= 0:
            found = _put_before(found, by, at)
    return None if found is None else _keep_apart(found, tuple(links), done)


def _keep_apart(below: list[int], links: tuple[Link, ...], done: int) -> list[int] | None:
    """Settle one node after another that may come between; both ways are tried where both are open."""
    for place, (clears, by, at) in enumerate(links):
        against = clears & done
        for node in bits(against):
            if node in (by, at) or (by >= 0 and below[by] >> node & 1) or (at >= 0 and below[node] >> at & 1):
                continue
            for first, then in ((node, by), (at, node)):
                if first >= 0 and then >= 0:
                    tried = _put_before(below, first, then)
                    found = None if tried is None else _keep_apart(tried, links[place:], done)
                    if found is not None:
                        return found
            return None
    return below


def _put_before(below: list[int], first: int, then: int) -> list[int] | None:
    """The order with one node before another; None if it is the other way round already."""
    if first == then or below[first] >> then & 1:
        return None
    added = below[first] | 1 << first
    return [mask | added if node == then or mask >> then & 1 else mask for node, mask in enumerate(below)]
