"""The order relation of a program: which needs imply which, given that nodes may be skipped or taken back."""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from stepwell.orders.program import Node, bits, skipping, undoing


def page_order(needs: Sequence[int]) -> tuple[int, ...]:
    """The order of the nodes that respects ``needs`` and is nearest to their own. ``needs`` has no circle."""
    if all(need >> node == 0 for node, need in enumerate(needs)):
        return tuple(range(len(needs)))
    waiting = [need.bit_count() for need in needs]
    heirs: list[list[int]] = [[] for _ in needs]
    for node, need in enumerate(needs):
        for other in bits(need):
            heirs[other].append(node)
    ready = [node for node, count in enumerate(waiting) if count == 0]
    heapq.heapify(ready)
    order: list[int] = []
    while ready:
        node = heapq.heappop(ready)
        order.append(node)
        for heir in heirs[node]:
            waiting[heir] -= 1
            if waiting[heir] == 0:
                heapq.heappush(ready, heir)
    return tuple(order)


def relations(nodes: Sequence[Node], needs: Sequence[int]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """(covers, surely) of nodes in an order that respects ``needs``.

    A need is implied by another only if it is settled *however* the other is settled, be it done or skipped: a step
    that an answer leaves out does not pass on what it would have waited for. Nodes that a jump may take back are
    never dropped, for what needed them may have been settled before.
    """
    skippers: list[list[tuple[int, int]]] = [[] for _ in nodes]
    loose = 0
    for index, node in enumerate(nodes):
        loose |= undoing(node)
        for mask in skipping(node):
            for skipped in bits(mask):
                skippers[skipped].append((index, mask))
    covers: list[int] = []
    surely: list[int] = []
    settled: list[int] = []
    for index, need in enumerate(needs):
        rest, cover, sure = need, 0, 0
        while rest:
            last = rest.bit_length() - 1
            cover |= 1 << last
            sure |= settled[last]
            rest &= ~((settled[last] & ~loose) | 1 << last)
        covers.append(cover)
        surely.append(sure)
        sure |= 1 << index
        for skipper, mask in skippers[index]:
            if skipper < index:
                sure &= settled[skipper] | mask
        settled.append(sure)
    return tuple(covers), tuple(surely)
