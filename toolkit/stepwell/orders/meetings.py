"""Meetings of lanes: edges from what each lane does before the meeting to what every other lane does behind it."""

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
    """Add the edges of every meeting to ``needs``, leaving out those that would close a circle."""
    for name in dict.fromkeys(name for lane in lanes for name in lane.points):
        there = [lane for lane in lanes if name in lane.points]
        if len(there) < 2:
            _tell(problems, name, "is named in one lane only, so nobody waits there")
        for lane in there:
            others = 0
            for other in there:
                others |= other.before(name) if other is not lane else 0
            if behind(needs, others) & lane.after(name):
                _tell(problems, name, "would have to wait for itself")
                continue
            for node in bits(lane.after(name)):
                needs[node] |= others


def _tell(problems: list[Problem], name: str, message: str) -> None:
    problems.append(Problem(kind="meeting", step="", other=name, message=f"the meeting “{name}” {message}"))
