"""The whole checker on small random procedures of the demo rig against every order, one by one.

The orders are those of networkx (``all_topological_sorts``); each is replayed by itself, without visited states.
"""

from __future__ import annotations

import random
import time

import networkx as nx
import pytest

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.layout import State
from stepwell.circuit.settings import apply_settings, baseline_state
from stepwell.model.procedure import Action, Lane, Lanes, Step
from stepwell.model.rig import Setting
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do, Program, bits
from stepwell.orders.search import Bounds, search
from stepwell.report.world import CircuitWorld
from stepwell.rules.ground import GroundRule, instantiate
from tests.circuit.test_settle import quantity
from tests.demo import baseline, rig, workspace

LAYOUT = compile_rig(rig())
RULES: tuple[GroundRule, ...] = tuple(one for rule in workspace().rules for one in instantiate(rule, rig()).ground)
START = apply_settings(
    LAYOUT,
    baseline_state(LAYOUT, baseline("unpacked")),
    [
        Setting(part="prime-bag", word="hung"),
        Setting(part="pump-head", word="seated"),
        Setting(part="prime-spike", word="joined:bag-port"),
        Setting(part="bag-port", word="joined:prime-spike"),
        Setting(part="recirc-spike", word="joined:bag-return-port"),
        Setting(part="bag-return-port", word="joined:recirc-spike"),
        Setting(part="prime-clamp", word="shut"),
        Setting(part="drain-pressure", word="plugged"),
        Setting(part="flow-sensor", word="fitted"),
        Setting(part="bubble-stop", word="suspended"),
    ],
)
CHOICES: tuple[Action, ...] = (
    *(
        Action(verb=v, parts=(p,))
        for v in ("open", "shut")
        for p in ("prime-clamp", "oxy-vent", "return-clamp", "drain-clamp")
    ),
    *(Action(verb=v, parts=("pre-cap",)) for v in ("cap", "uncap")),
    *(Action(verb="turn", parts=("pre-tap",), options=(("to", to),)) for to in ("all", "off")),
    Action(verb="zero", parts=("drain-pressure",)),
    Action(verb="zero", parts=("flow-sensor",)),
    Action(verb="run-water", parts=("water",)),
    Action(verb="inspect", parts=("water",)),
    Action(verb="run", parts=("pump",), options=(("at", quantity("2000 rpm")), ("for", quantity("2 min")))),
    Action(verb="stop", parts=("pump",), options=(("for", quantity("10 s")),)),
    Action(verb="wait", options=(("for", quantity("2 min")),)),
    Action(verb="part", parts=("prime-spike", "bag-port")),
    Action(verb="restore", parts=("bubble-stop",)),
)

WET = apply_settings(
    LAYOUT,
    START,
    [
        *(Setting(part=part.id, word="clear") for part in rig().parts if "main" in part.traits and part.kind != "clamp"),
        Setting(part="drain-end", word="joined:return-end"),
        Setting(part="return-end", word="joined:drain-end"),
        Setting(part="prime-line", word="clear"),
        Setting(part="prime-clamp", word="open"),
        Setting(part="recirc-clamp", word="shut"),
    ],
)
"""A filled loop under the bag, so that a pump can turn against a shut outlet in it."""
WITH_THE_PUMP: tuple[Action, ...] = (
    *(Action(verb=v, parts=("return-clamp",)) for v in ("open", "shut", "shut")),
    Action(verb="shut", parts=("oxy-vent",)),
    Action(verb="run", parts=("pump",), options=(("at", quantity("2000 rpm")),)),
    Action(verb="run", parts=("pump",), options=(("at", quantity("2000 rpm")), ("for", quantity("20 s")))),
    Action(verb="stop", parts=("pump",)),
    Action(verb="wait", options=(("for", quantity("20 s")),)),
    Action(verb="suspend", parts=("bubble-stop",)),
)


def random_program(rng: random.Random, choices: tuple[Action, ...] = CHOICES) -> Program:
    lanes = []
    widths = rng.choice(((2, 2), (2, 1, 1), (2,), (1, 1, 1)))
    for lane, width in enumerate(widths):
        who = rng.choice(("primer", "assistant"))
        steps = tuple(
            Step(id=f"s{lane}{n}x", who=who, say=(), do=tuple(rng.choice(choices) for _ in range(rng.randint(1, 2))))
            for n in range(width)
        )
        lanes.append(Lane(who=who, body=steps))
    return compile_body((Lanes(title="", lanes=tuple(lanes)),))


def by_every_order(program: Program, world: CircuitWorld) -> tuple[dict[str, int], set[int]]:
    """(rule, length of the shortest order that violates it), and the nodes that are refused in some order."""
    graph = nx.DiGraph()
    graph.add_nodes_from(range(len(program.nodes)))
    for node, needs in enumerate(program.needs):
        graph.add_edges_from((before, node) for before in bits(needs))
    shortest: dict[str, int] = {}
    refused: set[int] = set()
    for order in nx.all_topological_sorts(graph):
        state, length = world.starts()[0], 0
        for index in order:
            node = program.nodes[index]
            if not isinstance(node, Do):
                continue
            acted = world.act(state, node)
            length += 1
            for rule in acted.broke:
                shortest[rule] = min(length, shortest.get(rule, length))
            if acted.state is None:
                refused.add(index)
                break
            state = acted.state
        else:
            for rule in world.finish(state):
                shortest[rule] = min(length, shortest.get(rule, length))
    return shortest, refused


@pytest.mark.parametrize(
    ("seed", "start", "choices"),
    [*((seed, START, CHOICES) for seed in range(120)), *((seed, WET, WITH_THE_PUMP) for seed in range(40))],
)
def test_search_and_every_order_agree(seed: int, start: State, choices: tuple[Action, ...]) -> None:
    program = random_program(random.Random(seed), choices)
    found = search(
        program, CircuitWorld(LAYOUT, (start,), RULES, ()), bounds=Bounds(states=100_000, seconds=60), clock=time.monotonic
    )
    shortest, refused = by_every_order(program, CircuitWorld(LAYOUT, (start,), RULES, ()))
    assert found.complete
    assert {violation.rule: violation.run.length for violation in found.violated} == shortest
    assert {one.node for one in found.refused} == refused


def test_the_random_procedures_do_break_rules() -> None:
    """A comparison in which nothing ever goes wrong would show nothing."""
    broken: set[str] = set()
    for seed, start, choices in (*((n, START, CHOICES) for n in range(40)), *((n, WET, WITH_THE_PUMP) for n in range(20))):
        program = random_program(random.Random(seed), choices)
        world = CircuitWorld(LAYOUT, (start,), RULES, ())
        found = search(program, world, bounds=Bounds(states=100_000, seconds=60), clock=time.monotonic)
        broken |= {violation.rule for violation in found.violated}
    assert len(broken) >= 8
    assert "dead-headed-too-long" in broken
