"""Meetings of lanes: edges from what each lane does before the meeting, and waits for on its way there, to what every
other lane does behind it."""

from __future__ import annotations

from collections.abc import Sequence

from stepwell.orders.jumps import behind
from stepwell.orders.program import Problem, bits


class LanePoints:
    """One lane of lanes: its nodes are ``start`` up to ``end``, those of a meeting's far side begin at its point."""

    __slots__ = ("end", "points", "start")

    def __init__(self, start: int) -> None:
        self.start = start
        self.end = start
        self.points: dict[str, int] = {}

    def reached(self, name: str, node: int) -> None:
        """The meeting ``name`` stands before the node of this number."""
        self.points.setdefault(name, node)

    def before(self, name: str) -> int:
        """The mask of the lane's nodes before a meeting."""
        return (1 << self.points[name]) - (1 << self.start)

    def after(self, name: str) -> int:
        """The mask of the lane's nodes behind a meeting."""
        return (1 << self.end) - (1 << self.points[name])


def join_meetings(needs: list[int], lanes: Sequence[LanePoints], problems: list[Problem]) -> None:
    """Add the edges of every meeting to ``needs``, leaving out those that would close a circle.

    Who comes to a meeting has waited at the meetings before it. So whoever waits for him there waits for all that he
    waited for, even if he does nothing between the two.
    """
    names = tuple(dict.fromkeys(name for lane in lanes for name in lane.points))
    taken: list[str] = []
    for name in names:
        if name in _earlier((*taken, name), lanes)[name]:
            _tell(problems, name, "would have to wait for itself")
        else:
            taken.append(name)
    earlier = _earlier(taken, lanes)
    for name in taken:
        there = [lane for lane in lanes if name in lane.points]
        if len(there) < 2:
            _tell(problems, name, "is named in one lane only, so nobody waits there")
        waited = 0
        for before in earlier[name]:
            for lane in lanes:
                waited |= lane.before(before) if before in lane.points else 0
        for lane in there:
            others = waited & ~lane.before(name)
            for other in there:
                others |= other.before(name) if other is not lane else 0
            if behind(needs, others) & lane.after(name):
                _tell(problems, name, "would have to wait for itself")
                continue
            for node in bits(lane.after(name)):
                needs[node] |= others


def _earlier(names: Sequence[str], lanes: Sequence[LanePoints]) -> dict[str, set[str]]:
    """Per meeting those that must have taken place before all can stand there, itself included in a circle."""
    found: dict[str, set[str]] = {name: set() for name in names}
    for lane in lanes:
        row = [name for name in lane.points if name in found]
        for place, name in enumerate(row):
            found[name] |= set(row[:place])
    grown = True
    while grown:
        grown = False
        for sooner in found.values():
            more = set().union(*(found[name] for name in sooner)) - sooner
            grown = grown or bool(more)
            sooner |= more
    return found


def _tell(problems: list[Problem], name: str, message: str) -> None:
    problems.append(Problem(kind="meeting", step="", other=name, message=f"the meeting “{name}” {message}"))
