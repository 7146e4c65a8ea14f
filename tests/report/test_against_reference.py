"""The whole checker, with branches, repeats, options, holds and derived state, against the slow reading of bodies.

Random procedures on the demo rig with every rule; the second interpreter (tests/orders/reference.py) rewrites the body
step by step, keeps no visited states of its own making, and shares no code with the search. Both see one model of the
circuit, so this is about the search: which orders there are, what they meet, and how short.
"""

from __future__ import annotations

import random
import time
from typing import Any

import pytest

from stepwell.model.predicate import Fact, Not, Predicate, Ref
from stepwell.model.procedure import (
    Action,
    AnyOrder,
    Body,
    Choose,
    Condition,
    Hold,
    Item,
    Lane,
    Lanes,
    Otherwise,
    Outcome,
    Repeat,
    Stage,
    Step,
    Text,
)
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do, Program
from stepwell.orders.search import Bounds, search
from stepwell.orders.world import Acted
from stepwell.report.world import CircuitWorld
from tests.orders.bodies import actions_of
from tests.orders.reference import explore
from tests.orders.test_composition import facts_of
from tests.report.test_against_all_orders import CHOICES, LAYOUT, RULES, START, WET, WITH_THE_PUMP

CALL = (Text("call"),)
MOST = 7
"""So many actions at most: the reference keeps every place it was ever in."""


def fact(name: str, *parts: str) -> Fact:
    return Fact(name, tuple(map(Ref, parts)))


CONDITIONS: tuple[Predicate, ...] = (
    fact("dry", "oxygenator"),
    fact("filled", "oxygenator"),
    fact("open", "prime-clamp"),
    fact("shut", "oxy-vent"),
    fact("stopped", "pump"),
    fact("air-free", "pump-line"),
    Not(fact("open", "return-clamp")),
)


class Maker:
    """Random bodies of real actions."""

    def __init__(self, rng: random.Random, choices: tuple[Action, ...]) -> None:
        self.rng, self.choices, self.count = rng, choices, 0

    def name(self) -> str:
        self.count += 1
        return f"n{self.count:03d}"

    def step(self) -> Step:
        rng = self.rng
        name = self.name()
        look = (Condition(predicate=rng.choice(CONDITIONS)),) if rng.random() < 0.3 else ()
        return Step(
            id=name,
            who=rng.choice(("primer", "assistant")),
            say=(),
            do=tuple(rng.choice(self.choices) for _ in range(rng.choice((1, 1, 1, 2)))),
            at_once=rng.random() < 0.15,
            expect=look,
            if_not=Otherwise(words=CALL) if look and rng.random() < 0.5 else None,
            optional=rng.random() < 0.2,
        )

    def item(self, depth: int) -> Item:
        rng = self.rng
        sort = rng.choice(("step",) * 5 + (("stage", "any", "lanes", "choose", "repeat", "hold") if depth else ()))
        match sort:
            case "stage":
                return Stage(title="", body=self.body(depth - 1))
            case "any":
                return AnyOrder(title="", body=(self.item(depth - 1), self.item(depth - 1)))
            case "lanes":
                people = ("primer", "assistant")
                return Lanes(title="", lanes=tuple(Lane(who=who, body=self.body(depth - 1)) for who in people))
            case "choose":
                outcomes = (
                    Outcome(label="a", body=self.body(depth - 1), when=rng.choice((None, *CONDITIONS))),
                    rng.choice((Outcome(label="b", end=True), Outcome(label="b", body=(self.step(),)))),
                )
                return Choose(id=self.name(), question=(), who="primer", outcomes=outcomes)
            case "repeat":
                body = (self.step(),)
                return Repeat(id=self.name(), title="", until=rng.choice(CONDITIONS), at_most=2, body=body)
            case "hold":
                until = (Condition(predicate=rng.choice(CONDITIONS)),)
                return Hold(id=self.name(), title=(), until=until, agree=(), abort=CALL if rng.random() < 0.5 else ())
            case _:
                return self.step()

    def body(self, depth: int) -> Body:
        return tuple(self.item(depth) for _ in range(self.rng.choice((1, 2, 2))))


class Told:
    """The circuit's world for the reference: an action is looked up where it stands in the program."""

    def __init__(self, world: CircuitWorld, program: Program) -> None:
        self.world = world
        self.nodes = {(node.step, node.index): node for node in program.nodes if isinstance(node, Do)}
        self.starts, self.observe, self.finish = world.starts, world.observe, world.finish

    def act_at(self, step: str, index: int, state: Any, actions: tuple[Action, ...]) -> Acted[Any]:
        return self.world.act(state, self.nodes[step, index])


def instance(seed: int) -> tuple[Body, tuple[int, ...]]:
    rng = random.Random(seed)
    choices, start = (CHOICES, START) if seed % 3 else (WITH_THE_PUMP, WET)
    while True:
        body = Maker(rng, choices).body(2)
        if 2 <= actions_of(body) <= MOST:
            return body, start


def agrees(seed: int) -> int:
    """Compare one instance; the number of rules that are violated in it."""
    body, start = instance(seed)
    program = compile_body(body)
    assert program.problems == ()
    bounds = Bounds(states=200_000, seconds=120)
    found = search(program, CircuitWorld(LAYOUT, (start,), RULES, ()), bounds=bounds, clock=time.monotonic)
    assert found.complete
    told: Any = Told(CircuitWorld(LAYOUT, (start,), RULES, ()), program)
    assert facts_of(program, found) == explore(body, told), f"seed {seed}"  # type: ignore[arg-type]
    return len(found.violated)


@pytest.mark.parametrize("seed", range(60))
def test_search_and_reference_agree_on_the_circuit(seed: int) -> None:
    agrees(seed)


def test_the_instances_are_worth_comparing() -> None:
    """Most break some rule and some break none; every construct occurs."""
    bodies = [instance(seed)[0] for seed in range(300)]
    text = " ".join(map(str, bodies))
    for construct in ("Choose(", "Repeat(", "Hold(", "Lanes(", "AnyOrder(", "optional=True", "at_once=True"):
        assert construct in text
    hits = [agrees(seed) for seed in range(60, 80)]
    assert any(hits)


@pytest.mark.nightly
def test_a_thousand_instances() -> None:
    broken = sum(1 for seed in range(1_000) if agrees(seed))
    print(f"\n1,000 random procedures with derived state: {broken} break a rule, 0 disagreements")
    assert broken > 300
