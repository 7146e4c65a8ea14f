"""What a search notes on its way, and the result made of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Generic

from stepwell.orders.branches import Failure
from stepwell.orders.control import Control
from stepwell.orders.places import TAKEN, Places, packed, unpacked
from stepwell.orders.program import Do, End, Program, bits, undoing
from stepwell.orders.searched import Dead, Ended, Failed, Reached, Refused, Run, Searched, Violation
from stepwell.orders.world import S

Noted = tuple[int, int]
"""A place and the packed move made from there."""


class Found(Generic[S]):
    """Places are noted in the order of their length, so that the first one noted for a name is the shortest."""

    def __init__(self, program: Program, wanted: frozenset[str] | None) -> None:
        self.program, self.wanted = program, wanted
        self.broken: dict[str, tuple[int, int, int, bool]] = {}
        self.refusals: dict[tuple[str, int], tuple[int, int, str]] = {}
        self.blocked: dict[tuple[str, int], Noted] = {}
        self.aborted: dict[tuple[str, int], Noted] = {}
        self.ended: dict[tuple[str | None, int], Noted] = {}
        self.ends: list[int] = []
        self.aborts: list[int] = []
        self.failed = any(undoing(node) for node in program.nodes)
        """False where every run is sure to reach an end: nothing failed, and nothing can go round for ever."""

    def broke(self, rules: frozenset[str], length: int, place: int, move: int, at_end: bool = False) -> None:
        """Rules violated by a move from a place. An end costs nothing, so it may undercut an action noted before."""
        for rule in rules if self.wanted is None else rules & self.wanted:
            if rule not in self.broken or self.broken[rule][0] > length:
                self.broken[rule] = (length, place, move, at_end)

    def refused(self, node: Do, index: int, place: int, reason: str) -> None:
        """An action that is impossible there."""
        self.failed = True
        self.refusals.setdefault((node.step, node.index), (place, index, reason))

    def fails(self, index: int, place: int, failure: Failure, others: int) -> None:
        """A look, bar, question or loop that does not let the run on; ``others`` nodes can still act."""
        self.failed = True
        if failure.patient and others:
            return
        noted = place, packed(index, failure.option, failure.truth)
        (self.aborted if failure.abort else self.blocked).setdefault((self.program.nodes[index].name, failure.option), noted)
        if failure.abort:
            self.aborts.append(place)

    def ends_at(self, place: int, state: int, end: int) -> int:
        """The run can end here, by the end node ``end`` (-1: everything is settled). The packed move, or -1."""
        node = self.program.nodes[end] if end >= 0 else None
        move = -1 if end < 0 else TAKEN | end
        self.ended.setdefault((node.card if isinstance(node, End) else None, state), (place, move))
        self.ends.append(place)
        return move

    def has_all_wanted(self) -> bool:
        """True if there is something wanted and all of it was met."""
        return bool(self.wanted) and self.wanted is not None and self.wanted <= self.broken.keys()

    def result(self, places: Places, states: list[S], control: Control, whole: int, reason: str | None) -> Searched[S]:
        """The result; ``whole`` levels were expanded entirely, and ``reason`` is why no more were (None: all)."""

        def way(place: int, move: int = -1) -> Run:
            return places.way(self.program, control, place, move)

        def failures(noted: Mapping[tuple[str, int], Noted]) -> tuple[Failed, ...]:
            made = ((unpacked(move), way(place, move)) for place, move in noted.values())
            return tuple(Failed(node=move.node, option=move.option, truth=move.truth, run=run) for move, run in made)

        broken = sorted(self.broken.items(), key=lambda item: (item[1][0], item[0]))
        stuck, must_abort = self._dead(places, reason is None) if self.failed else ((), ())
        return Searched(
            violated=tuple(
                Violation(rule=rule, run=way(place, move), at_end=at_end, shortest=reason is None or length <= whole)
                for rule, (length, place, move, at_end) in broken
            ),
            refused=tuple(
                Refused(node=index, reason=why, run=way(place, TAKEN | index))
                for place, index, why in self.refusals.values()
            ),
            blocked=failures(self.blocked),
            aborted=failures(self.aborted),
            ended=tuple(Ended(states[state], card, way(place, move)) for (card, state), (place, move) in self.ended.items()),
            stuck=Dead(states=len(stuck), run=way(places.nearest(stuck))) if stuck else None,
            must_abort=Dead(states=len(must_abort), run=way(places.nearest(must_abort))) if must_abort else None,
            complete=reason is None,
            bound=None if reason is None else self._reached(places, len(states), whole - 1, reason),
            states=len(places.keys),
            transitions=len(places.targets),
            longest=max(places.lengths, default=0),
        )

    def _reached(self, places: Places, worlds: int, length: int, reason: str) -> Reached:
        """How far it came, and the widest place that was left."""
        left = (ready for ready, expanded in zip(places.ready, places.expanded, strict=True) if not expanded)
        widest = max(left, key=int.bit_count, default=0)
        names = tuple(dict.fromkeys(self.program.nodes[index].name for index in bits(widest)))
        return Reached(len(places.keys), length, reason, names, worlds)

    def _dead(self, places: Places, complete: bool) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """(stuck, must abort): the places from which neither an end nor an abort, or only an abort, can be reached."""
        unknown = () if complete else tuple(p for p, expanded in enumerate(places.expanded) if not expanded)
        ends = places.leading_to((*self.ends, *unknown))
        aborts = places.leading_to(self.aborts)
        lost = [place for place, may_end in enumerate(ends) if not may_end]
        return tuple(p for p in lost if not aborts[p]), tuple(p for p in lost if aborts[p])
