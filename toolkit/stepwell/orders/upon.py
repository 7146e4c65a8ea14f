"""A search that builds upon another one: of a changed program only that is searched which the other may not have met.

What it meets beyond that the other search met as well, so whatever it does not meet is met by neither or by the other.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Generic

from stepwell.orders.alike import Alike, alike
from stepwell.orders.control import Spot
from stepwell.orders.search import Search
from stepwell.orders.world import S

Begun = Mapping[int, Sequence[tuple[Spot, S]]]
"""The places from which a search begins, by their level."""


def build_upon(old: Search[S], new: Search[S], common: Alike | None = None) -> Begun[S]:
    """Let a search that has not begun leave out what the ``old`` one has met, and say from where it begins.

    The old search must have gone to its end, and in a world that led on wherever that of the new one does: the same, or one
    in which no run ended sooner. ``common`` is what the two programs have in common, if that is known.
    """
    common = common or alike(old.program, old.control, new.program, new.control)
    if common is None:
        return new.starts()
    new.elsewhere = _Elsewhere(old, common)
    return _begun(old, common, new) if common.begins else new.starts()


class _Elsewhere(Generic[S]):
    """Tells of the places of the changed program that were searched in the program as it was."""

    def __init__(self, old: Search[S], common: Alike) -> None:
        self.common, self.ids, self.seen, self.width = common, old.ids, old.seen, len(old.program.nodes)

    def __call__(self, mask: int, state: S) -> bool:
        then = self.common.then(mask)
        if then is None:
            return False
        number = self.ids.get(state)
        return number is not None and number << self.width | then in self.seen


def _begun(old: Search[S], common: Alike, new: Search[S]) -> Begun[S]:
    """The places of the beginning at which something may be taken that the difference touches."""
    begun: dict[int, list[tuple[Spot, S]]] = {}
    places, full, width, touched = old.places, old.control.full, len(old.program.nodes), common.touched_old
    for place, key in enumerate(places.keys):
        if places.ready[place] & touched and not key & full & touched:
            spot = new.control.anew(common.now(key & full))
            begun.setdefault(places.lengths[place], []).append((spot, old.states[key >> width]))
    return begun
