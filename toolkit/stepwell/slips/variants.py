"""Every single slip of a procedure as a changed body."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from stepwell.model.procedure import Action, Body, Step, steps_of
from stepwell.model.rig import Part, Rig
from stepwell.model.slip import Sort
from stepwell.slips.edit import one_up, put, to_start, twice, unlooked


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One way in which a slip may happen: the body as it is then done, and in words what is different."""

    step: str
    sort: Sort
    detail: str
    body: Body


def variants(body: Body, rig: Rig) -> Iterator[Variant]:
    """All variants, step by step in the order of the page, those of one step and sort one after another."""
    for step in steps_of(body):
        if step.do:
            yield Variant(step=step.id, sort=Sort.OMITTED, detail="", body=put(body, step.id, _omitted))
            yield from _early(body, step)
            yield Variant(step=step.id, sort=Sort.TWICE, detail="", body=put(body, step.id, twice))
            yield from _look_alikes(body, step, rig)
        if step.expect:
            yield Variant(step=step.id, sort=Sort.UNCHECKED, detail="", body=without_check(body, step.id))


def without_check(body: Body, step: str) -> Body:
    """The body in which nobody looks at what this step expects."""
    return put(body, step, unlooked)


def _omitted(step: Step) -> Step:
    # An empty shell stays, so that what is ordered after the step keeps its place.
    return replace(unlooked(step), do=(), at_once=False)


def _doing(step: Step, do: tuple[Action, ...]) -> Step:
    return replace(unlooked(step), do=do)


def _early(body: Body, step: Step) -> Iterator[Variant]:
    up, start = one_up(body, step.id), to_start(body, step.id)
    first = put(body, step.id, lambda one: replace(unlooked(one), after=()))
    if up not in (body, first):
        yield Variant(step=step.id, sort=Sort.EARLY, detail="one place up the page", body=up)
    if start not in (body, up, first):
        yield Variant(step=step.id, sort=Sort.EARLY, detail="at the start of its stage", body=start)


def _look_alikes(body: Body, step: Step, rig: Rig) -> Iterator[Variant]:
    parts = {part.id: part for part in rig.parts}
    for index, action in enumerate(step.do):
        for name in action.parts:
            for other in _alike(parts.get(name), rig):
                if other.id in action.parts:
                    continue
                wrong = _on(action, name, other.id)
                do = (*step.do[:index], wrong, *step.do[index + 1 :])
                detail = f"{other.label} instead of {parts[name].label}"
                mistaken = put(body, step.id, partial(_doing, do=do))
                yield Variant(step=step.id, sort=Sort.LOOK_ALIKE, detail=detail, body=mistaken)


def _alike(part: Part | None, rig: Rig) -> tuple[Part, ...]:
    """Other parts of the same kind with the same traits: every verb that fits one fits the others."""
    if part is None:
        return ()
    return tuple(
        other
        for other in rig.parts
        if other.id != part.id and other.kind == part.kind and sorted(other.traits) == sorted(part.traits)
    )


def _on(action: Action, part: str, other: str) -> Action:
    return replace(action, parts=tuple(other if name == part else name for name in action.parts))
