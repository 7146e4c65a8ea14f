"""Edges that the order of the body does not give: ``after``, and ``if-not: a step``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stepwell.model.procedure import Step
from stepwell.orders.program import Jump, Problem, bits


class Frame(NamedTuple):
    """A place in a sequence, and how the way leads on inside that item (stage, choose, repeat, beside; empty: a step)."""

    sequence: int
    item: int
    way: str


class Place(NamedTuple):
    """A step where it stands: the mask of its decision (0 if it is not optional), of its other nodes, and the way there."""

    step: Step
    ask: int
    made: int
    frames: tuple[Frame, ...]
    rounds: tuple[tuple[str, int], ...]

    @property
    def nodes(self) -> int:
        """The mask of all its nodes."""
        return self.ask | self.made


def join_after(needs: list[int], places: Sequence[Place], problems: list[Problem]) -> None:
    """Add the edges of ``after`` to ``needs``, leaving out those that would close a circle."""
    for place in places:
        for name in place.step.after:
            others = [other for other in places if other.step.id == name]
            if not others:
                _tell(problems, "unknown-step", place.step.id, name, "comes after a step that is not in this procedure")
            for other in others:
                if not _same_rounds(place, other):
                    continue
                if behind(needs, other.nodes) & place.nodes:
                    _tell(problems, "circle", place.step.id, name, "would have to wait for itself if it came after it")
                    continue
                for node in bits(place.nodes):
                    needs[node] |= other.nodes


def join_jumps(places: Sequence[Place], sequences: Sequence[Sequence[int]], problems: list[Problem]) -> dict[int, Jump]:
    """The jump of every expectation that has one, by the index of its node."""
    jumps: dict[int, Jump] = {}
    for place in places:
        target = place.step.if_not.step if place.step.if_not is not None and place.step.expect else None
        if target is None:
            continue
        others = [other for other in places if other.step.id == target]
        if not others:
            _tell(problems, "unknown-step", place.step.id, target, "leads to a step that is not in this procedure")
            continue
        found = [jump for other in others if (jump := _jump(place, other, sequences)) is not None]
        if not found:
            _tell(problems, "jump", place.step.id, target, "leads to a step that can't be reached from there")
            continue
        jumps[place.nodes.bit_length() - 1] = found[0]
    return jumps


def _tell(problems: list[Problem], kind: str, step: str, other: str, message: str) -> None:
    problem = Problem(kind=kind, step=step, other=other, message=message)
    if problem not in problems:
        problems.append(problem)


def _same_rounds(one: Place, other: Place) -> bool:
    rounds = dict(other.rounds)
    return all(rounds.get(repeat, number) == number for repeat, number in one.rounds)


def behind(needs: Sequence[int], mask: int) -> int:
    """The nodes of ``mask`` and everything that they need, directly or not."""
    seen, rest = 0, mask
    while rest:
        node = rest.bit_length() - 1
        seen |= 1 << node
        rest = (rest | needs[node]) & ~seen
    return seen


def _jump(origin: Place, target: Place, sequences: Sequence[Sequence[int]]) -> Jump | None:
    """None if the two do not share a sequence, or the way from it leads beside, or the way to the target is no stage."""
    depth = -1
    for level, (here, there) in enumerate(zip(origin.frames, target.frames, strict=False)):
        if here.sequence == there.sequence:
            depth = level
    if depth < 0:
        return None
    here, there = origin.frames[depth], target.frames[depth]
    if origin is target:
        return Jump(step=target.step.id, skips=0, undoes=target.made)
    if here.item == there.item or any(frame.way == "beside" for frame in origin.frames[depth:-1]):
        return None
    if any(frame.way != "stage" for frame in target.frames[depth:-1]):
        return None
    earlier = target.ask
    for frame in target.frames[depth + 1 :]:
        earlier |= _span(sequences[frame.sequence], 0, frame.item)
    items = sequences[here.sequence]
    if there.item > here.item:
        return Jump(step=target.step.id, skips=_span(items, here.item, there.item) | earlier, undoes=0)
    return Jump(step=target.step.id, skips=0, undoes=_span(items, there.item, here.item + 1) & ~earlier)


def _span(items: Sequence[int], start: int, stop: int) -> int:
    mask = 0
    for item in items[start:stop]:
        mask |= item
    return mask
