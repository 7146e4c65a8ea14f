"""The circuit step by step in the order of the page, for the pages that draw it.

One way through the card is followed: the first of the permitted starts, every step done, every expectation waited for.
A question's answers each begin where the question stands; what follows the question goes on from its first answer that
goes on at all. So a picture never shows two answers at once.
"""

from __future__ import annotations

from stepwell.model.bodies import woven
from stepwell.model.predicate import Predicate
from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Condition,
    Expectation,
    Hold,
    Item,
    Lanes,
    Meet,
    Procedure,
    Repeat,
    Stage,
    Step,
)
from stepwell.model.tri import Tri
from stepwell.report.narrate import changes
from stepwell.report.results import StepPicture
from stepwell.report.world import CircuitWorld, Here


def pictures_of(world: CircuitWorld, procedure: Procedure) -> tuple[StepPicture, ...]:
    """What each step changes; after an action that can't be done nothing more is told of that way."""
    if not world.starts():
        return ()
    walk = _Walk(world)
    walk.body(procedure.body, world.starts()[0])
    return tuple(walk.found.values())


class _Walk:
    def __init__(self, world: CircuitWorld) -> None:
        self.world = world
        self.found: dict[str, StepPicture] = {}

    def body(self, body: Body, here: Here | None) -> Here | None:
        """The state after a body; None where it can't be gone on."""
        for item in body:
            here = None if here is None else self._item(item, here)
        return here

    def _item(self, item: Item, here: Here) -> Here | None:
        match item:
            case Step():
                return self._step(item, here)
            case Stage(body=inner) | AnyOrder(body=inner):
                return self.body(inner, here)
            case Lanes(lanes=lanes):
                return self.body(woven(lanes), here)
            case Hold(until=until):
                return self._waited(until, here)
            case Repeat():
                return self._rounds(item, here)
            case Choose():
                return self._answers(item, here)
            case Meet():
                return here

    def _step(self, step: Step, here: Here) -> Here | None:
        told: list[str] = []
        after: Here | None = here
        for actions in (step.do,) if step.at_once else tuple((action,) for action in step.do):
            if after is None or not actions:
                continue
            done = self.world.done(after.circuit, actions)
            if done.state is None:
                told.append(f"can't be done: {done.refused}")
                after = None
                break
            told += changes(self.world.layout, after.circuit, done.state, done.events)
            after = after._replace(circuit=done.state)
        if after is not None:
            waited = self._waited(step.expect, after)
            told += changes(self.world.layout, after.circuit, waited.circuit, frozenset())
            after = waited
        last = here.circuit if after is None else after.circuit
        picture = StepPicture(step=step.id, changes=tuple(dict.fromkeys(told)), before=here.circuit, after=last)
        self.found.setdefault(step.id, picture)
        return after

    def _waited(self, expected: tuple[Expectation, ...], here: Here) -> Here:
        for one in expected:
            if isinstance(one, Condition):
                seen = self.world.observe(here, one.predicate)
                here = seen.state_if_so if seen.truth is Tri.YES else here
        return here

    def _rounds(self, item: Repeat, here: Here) -> Here | None:
        after: Here | None = here
        for _ in range(item.at_most):
            after = None if after is None else self.body(item.body, after)
            if after is None or self._so(item.until, after):
                break
        return after

    def _answers(self, item: Choose, here: Here) -> Here | None:
        goes_on: Here | None = None
        settled = False
        for outcome in item.outcomes:
            after = self.body(outcome.body, here)
            if not settled and not outcome.end and outcome.card is None:
                goes_on, settled = after, True
        return goes_on

    def _so(self, predicate: Predicate, here: Here) -> bool:
        return self.world.observe(here, predicate).truth is Tri.YES
