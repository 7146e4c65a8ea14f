"""The witness that a rule bites: a deletion that would break it."""

from __future__ import annotations

from collections.abc import Callable

from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Item,
    Lane,
    Lanes,
    Outcome,
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

NONE_FOUND = "No single step was found whose omission would break it."


def without_step(body: Body, step: str) -> Body:
    """The body with one step left out, its expectation with it; what becomes empty stays as an empty frame."""
    return tuple(_without(item, step) for item in body if not (isinstance(item, Step) and item.id == step))


def _without(item: Item, step: str) -> Item:
    match item:
        case Stage(title=title, body=body, span=span):
            return Stage(title=title, body=without_step(body, step), span=span)
        case AnyOrder(title=title, body=body, span=span):
            return AnyOrder(title=title, body=without_step(body, step), span=span)
        case Lanes(title=title, lanes=lanes, span=span):
            kept = tuple(Lane(who=lane.who, body=without_step(lane.body, step), span=lane.span) for lane in lanes)
            return Lanes(title=title, lanes=kept, span=span)
        case Choose(outcomes=outcomes):
            left = tuple(
                Outcome(
                    label=o.label, body=without_step(o.body, step), when=o.when, card=o.card, end=o.end, span=o.span
                )
                for o in outcomes
            )
            return Choose(id=item.id, question=item.question, who=item.who, outcomes=left, span=item.span)
        case Repeat():
            body = without_step(item.body, step)
            return Repeat(
                id=item.id, title=item.title, until=item.until, at_most=item.at_most, body=body, span=item.span
            )
        case _:
            return item


def find_bites(
    procedure: Procedure,
    rules: frozenset[str],
    make_world: Callable[[], CircuitWorld],
    bounds: Bounds,
    clock: Callable[[], float],
) -> dict[str, Bites]:
    """For each rule the first step, in the order of the page, whose omission would break it."""
    found: dict[str, Bites] = {}
    numbers = {step.id: number for number, step in enumerate(steps_of(procedure.body), 1)}
    world = make_world()
    stop_at = clock() + bounds.seconds
    for step in steps_of(procedure.body):
        open_rules = rules - found.keys()
        if not step.do or not open_rules or clock() > stop_at:
            continue
        program = compile_body(without_step(procedure.body, step.id))
        result = search(program, world, wanted=open_rules, bounds=bounds, clock=clock)
        for violation in result.violated:
            if violation.rule in open_rules:
                found[violation.rule] = Bites(
                    step=step.id, statement=f"Leaving out step {numbers[step.id]} ({step.id}) would break it."
                )
    return {rule: found.get(rule, Bites(step=None, statement=NONE_FOUND)) for rule in rules}
