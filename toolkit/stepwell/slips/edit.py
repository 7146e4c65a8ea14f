"""Bodies with one step changed, moved up the page or done again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from stepwell.model.bodies import each_leaf, through
from stepwell.model.procedure import AnyOrder, Body, Choose, Item, Repeat, Stage, Step, steps_of
from stepwell.report.bites import without_step

AGAIN = "~2"
"""Ends the id of the copy of a step that is done twice."""


def unlooked(step: Step) -> Step:
    """The step without its own check: who slips is not taken to see it in the same breath."""
    return replace(step, expect=(), if_not=None, confirm=None)


def put(body: Body, step: str, change: Callable[[Step], Item]) -> Body:
    """The body with the step called ``step`` put through ``change``."""

    return each_leaf(body, lambda leaf: change(leaf) if isinstance(leaf, Step) and leaf.id == step else leaf)


def twice(step: Step) -> Item:
    """The step, and directly after it the same again without a look."""
    copy = replace(unlooked(step), id=step.id + AGAIN, after=(), optional=False)
    return Stage(title="", body=(step, copy))


def to_start(body: Body, step: str) -> Body:
    """The body with the step moved to the start of its own sequence (stage, lane, answer or round)."""
    at = _index(body, step)
    if at is None:
        return body
    found = body[at]
    if isinstance(found, Step):
        return (_hasty(found), *body[:at], *body[at + 1 :])

    def inner(part: Body) -> Body:
        # Items of an any-order have no start to be moved to.
        loose = isinstance(found, AnyOrder) and any(isinstance(item, Step) and item.id == step for item in part)
        return part if loose else to_start(part, step)

    return (*body[:at], through(found, inner), *body[at + 1 :])


def one_up(body: Body, step: str) -> Body:
    """The body with the step moved before what comes directly before it in every order; itself if there is nothing.

    A step does not leave the answer of a question or the round of a repeat.
    """
    moved = _up(body, step)
    return body if moved is None else moved


def _up(body: Body, step: str) -> Body | None:
    """None where nothing in this body comes before the step."""
    at = _index(body, step)
    if at is None:
        return body
    found = body[at]
    if not isinstance(found, Step):
        inner = _within(found, step)
        if inner is not None:
            return (*body[:at], inner, *body[at + 1 :])
    if not at:
        return None
    moving = next(one for one in steps_of((found,)) if one.id == step)
    rest = () if isinstance(found, Step) else (through(found, lambda part: without_step(part, step)),)
    return (*body[: at - 1], *_before(_hasty(moving), body[at - 1]), *rest, *body[at + 1 :])


def _within(item: Item, step: str) -> Item | None:
    """The item with the step moved up inside it, or None if that leads out of it."""
    stays = isinstance(item, Choose | Repeat)
    out = False

    def inner(part: Body) -> Body:
        nonlocal out
        if _index(part, step) is None:
            return part
        if isinstance(item, AnyOrder):
            at = _index(part, step) or 0
            beside = None if isinstance(part[at], Step) else _within(part[at], step)
            moved = None if beside is None else (*part[:at], beside, *part[at + 1 :])
        else:
            moved = _up(part, step)
        out = moved is None
        return part if moved is None else moved

    changed = through(item, inner)
    return None if out and not stays else changed


def _before(moving: Step, item: Item) -> Body:
    """The moving step before an item: before the last thing of a stage, else before the whole of it."""
    if isinstance(item, Stage) and item.body:
        return (replace(item, body=(*item.body[:-1], *_before(moving, item.body[-1]))),)
    return (moving, item)


def _hasty(step: Step) -> Step:
    return replace(unlooked(step), after=())


def _index(body: Body, step: str) -> int | None:
    return next((at for at, item in enumerate(body) if any(one.id == step for one in steps_of((item,)))), None)
