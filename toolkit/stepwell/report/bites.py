"""The witness that a rule bites: a deletion or a move that would break it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Hold,
    Item,
    Lanes,
    Procedure,
    Repeat,
    Stage,
    Step,
    steps_of,
)
from stepwell.orders.compile import compile_body
from stepwell.orders.search import Bounds, search
from stepwell.report.results import Bites
from stepwell.report.world import CircuitWorld

NONE_FOUND = "No omission or move of a single step was found that would break it."


def without_step(body: Body, step: str) -> Body:
    """The body with one step left out, its expectation with it; what becomes empty stays as an empty frame."""
    return tuple(_without(item, step) for item in body if not (isinstance(item, Step) and item.id == step))


def _without(item: Item, step: str) -> Item:
    match item:
        case Stage() | AnyOrder() | Repeat():
            return replace(item, body=without_step(item.body, step))
        case Lanes():
            lanes = tuple(replace(lane, body=without_step(lane.body, step)) for lane in item.lanes)
            return replace(item, lanes=lanes)
        case Choose():
            outcomes = tuple(replace(outcome, body=without_step(outcome.body, step)) for outcome in item.outcomes)
            return replace(item, outcomes=outcomes)
        case _:
            return item


def blind(body: Body) -> Body:
    """The body with nobody looking: no expectations, and holds that wait for nothing."""
    return tuple(_blind(item) for item in body)


def _blind(item: Item) -> Item:
    match item:
        case Step():
            return replace(item, expect=(), if_not=None)
        case Hold():
            return replace(item, until=())
        case Stage() | AnyOrder() | Repeat():
            return replace(item, body=blind(item.body))
        case Lanes():
            return replace(item, lanes=tuple(replace(lane, body=blind(lane.body)) for lane in item.lanes))
        case Choose():
            return replace(item, outcomes=tuple(replace(o, body=blind(o.body)) for o in item.outcomes))


@dataclass(frozen=True, slots=True, kw_only=True)
class Witnesses:
    """Looks for witnesses on one procedure. ``clock`` gives seconds; the bounds hold for all the looking together."""

    procedure: Procedure
    make_world: Callable[[], CircuitWorld]
    bounds: Bounds
    clock: Callable[[], float]

    def find(self, rules: frozenset[str]) -> dict[str, Bites]:
        """For each rule a deletion, a deletion with nobody looking, or a move to the end that would break it."""
        found: dict[str, Bites] = {}
        steps = [step for step in steps_of(self.procedure.body) if step.do]
        numbers = {step.id: number for number, step in enumerate(steps_of(self.procedure.body), 1)}
        world = self.make_world()
        stop_at = self.clock() + self.bounds.seconds
        ways: tuple[tuple[str, Callable[[Step], Body]], ...] = (
            ("Leaving out step {} ({}) would break it.", lambda s: without_step(self.procedure.body, s.id)),
            (
                "Leaving out step {} ({}) would break it, did a later step not notice or refuse.",
                lambda s: blind(without_step(self.procedure.body, s.id)),
            ),
            (
                "Moving step {} ({}) to the end of the card would break it.",
                lambda s: (*blind(without_step(self.procedure.body, s.id)), replace(s, expect=(), if_not=None)),
            ),
        )
        for words, change in ways:
            for step in steps:
                missing = rules - found.keys()
                if not missing or self.clock() > stop_at:
                    break
                program = compile_body(change(step))
                result = search(program, world, wanted=missing, bounds=self.bounds, clock=self.clock)
                for violation in result.violated:
                    found.setdefault(violation.rule, Bites(step=step.id, statement=words.format(numbers[step.id], step.id)))
        return {rule: found.get(rule, Bites(step=None, statement=NONE_FOUND)) for rule in rules}
