"""What a repair may do to a body: it adds and moves, and takes nothing away."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

from stepwell.model.bodies import each_leaf, through
from stepwell.model.procedure import AnyOrder, Body, Choose, Condition, Hold, Item, Lanes, Otherwise, Repeat, Stage, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class AddOrder:
    """``step`` waits for ``other``."""

    step: str
    other: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AddCheck:
    """``step`` also expects ``condition``; ``otherwise`` is what to do where it expected nothing until now."""

    step: str
    condition: Condition
    otherwise: Otherwise


@dataclass(frozen=True, slots=True, kw_only=True)
class AddToHold:
    """``hold`` also waits for ``condition``."""

    hold: str
    condition: Condition


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveStep:
    """``step`` goes directly before the step, hold, question or repeat ``anchor``, or directly behind it."""

    step: str
    anchor: str
    before: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AddStep:
    """A new step directly before ``anchor`` or directly behind it."""

    step: Step
    anchor: str
    before: bool


Change: TypeAlias = AddOrder | AddCheck | AddToHold | MoveStep | AddStep


class NoPlaceError(Exception):
    """A change that this body has no place for."""


def changed(body: Body, change: Change) -> Body:
    """The body with the change made. Raises NoPlaceError where it can't be."""
    match change:
        case AddOrder():
            return _put(body, change.step, lambda step: replace(step, after=(*step.after, change.other)))
        case AddCheck():
            return _put(body, change.step, lambda step: _expecting(step, change))
        case AddToHold():
            return each_leaf(body, lambda leaf: _asking(leaf, change) if isinstance(leaf, Hold) else leaf)
        case MoveStep():
            moving = _found(body, change.step)
            return inserted(without(body, change.step), moving, change.anchor, change.before)
        case AddStep():
            return inserted(body, change.step, change.anchor, change.before)


def all_changed(body: Body, changes: tuple[Change, ...]) -> Body:
    """The body with one change after the other. Raises NoPlaceError."""
    for change in changes:
        body = changed(body, change)
    return body


def inserted(body: Body, new: Step, anchor: str, before: bool) -> Body:
    """The body with ``new`` beside ``anchor``. Raises NoPlaceError where there is no such place in a sequence."""
    places = 0

    def put(part: Body) -> Body:
        nonlocal places
        out: list[Item] = []
        for item in part:
            inner = through(item, put) if not isinstance(item, AnyOrder) else through(item, loose)
            if isinstance(item, Step | Hold | Choose | Repeat) and item.id == anchor:
                places += 1
                out += [new, inner] if before else [inner, new]
            else:
                out.append(inner)
        return tuple(out)

    def loose(part: Body) -> Body:
        return tuple(through(item, loose) if isinstance(item, AnyOrder) else through(item, put) for item in part)

    found = put(body)
    if places != 1:
        raise NoPlaceError(anchor)
    return found


def without(body: Body, step: str) -> Body:
    """The body without the step; a stage that becomes empty goes too. Raises NoPlaceError if a lane or an answer would."""
    out: list[Item] = []
    for item in body:
        if isinstance(item, Step) and item.id == step:
            continue
        left = through(item, lambda part: without(part, step))
        if isinstance(left, Stage | AnyOrder) and not left.body:
            continue
        if isinstance(left, Repeat) and not left.body and isinstance(item, Repeat) and item.body:
            raise NoPlaceError(step)
        if isinstance(left, Lanes) and any(not lane.body for lane in left.lanes):
            raise NoPlaceError(step)
        if isinstance(left, Choose) and isinstance(item, Choose) and _answers(left) != _answers(item):
            raise NoPlaceError(step)
        out.append(left)
    return tuple(out)


def _answers(item: Choose) -> tuple[bool, ...]:
    return tuple(bool(outcome.body) for outcome in item.outcomes)


def _put(body: Body, step: str, change: object) -> Body:
    assert callable(change)
    return each_leaf(body, lambda leaf: change(leaf) if isinstance(leaf, Step) and leaf.id == step else leaf)


def _expecting(step: Step, change: AddCheck) -> Step:
    return replace(
        step,
        expect=(*step.expect, change.condition),
        if_not=step.if_not if step.if_not is not None or step.expect else change.otherwise,
    )


def _asking(hold: Hold, change: AddToHold) -> Hold:
    return replace(hold, until=(*hold.until, change.condition)) if hold.id == change.hold else hold


def _found(body: Body, step: str) -> Step:
    found: list[Step] = []

    def look(leaf: Step | Hold) -> Item:
        if isinstance(leaf, Step) and leaf.id == step:
            found.append(leaf)
        return leaf

    each_leaf(body, look)
    if len(found) != 1:
        raise NoPlaceError(step)
    return found[0]
