"""Brute force: all topological sorts (networkx) of random small procedures, each acted out alone."""

from __future__ import annotations

import time
from collections.abc import Iterator
from random import Random
from typing import Any

import networkx as nx

from stepwell.model.procedure import AnyOrder, Body, Condition, Hold, Lanes, Stage, Step, steps_of
from stepwell.model.tri import Tri
from stepwell.orders.compile import compile_body
from stepwell.orders.count import count_orders
from stepwell.orders.program import Do
from stepwell.orders.search import Bounds, search

from .bodies import Maker
from .toy import ToyWorld

Atom = tuple[Any, ...]
PROCEDURES = 500
MOST_SORTS = 6000


def lay(body: Body, graph: nx.DiGraph[Atom], beside: bool = False) -> list[Atom]:
    """Add the atoms of a body to the graph, in sequence or beside one another."""
    earlier: list[Atom] = []
    for item in body:
        match item:
            case Step():
                doings = [item.do] if item.at_once and item.do else [(action,) for action in item.do]
                atoms: list[Atom] = [(item.id, index, actions) for index, actions in enumerate(doings)]
                atoms.append((item.id, "look", item.expect))
                nx.add_path(graph, atoms)
            case Hold():
                atoms = [(item.id, "look", item.until)]
                graph.add_node(atoms[0])
            case Stage(body=inner):
                atoms = lay(inner, graph)
            case AnyOrder(body=inner):
                atoms = lay(inner, graph, beside=True)
            case Lanes(lanes=lanes):
                atoms = [atom for lane in lanes for atom in lay(lane.body, graph)]
            case _:
                raise AssertionError("only plain bodies")
        if not beside:
            graph.add_edges_from((one, other) for one in earlier for other in atoms)
        earlier.extend(atoms)
    return earlier


def graph_of(body: Body) -> nx.DiGraph[Atom]:
    graph: nx.DiGraph[Atom] = nx.DiGraph()
    lay(body, graph)
    for step in steps_of(body):
        for name in step.after:
            graph.add_edges_from((one, other) for one in graph for other in graph if one[0] == name and other[0] == step.id)
    # A look with nothing to look at changes nothing: join its edges and leave it out, which saves many sorts.
    for atom in [atom for atom in graph if atom[1] == "look" and not any(isinstance(e, Condition) for e in atom[2])]:
        graph.add_edges_from((one, other) for one in graph.predecessors(atom) for other in graph.successors(atom))
        graph.remove_node(atom)
    return graph


def act_out(sort: list[Atom], world: ToyWorld) -> Iterator[tuple[str, int]]:
    """(name, length) of everything that is met when the atoms are taken in this order."""
    for start in world.starts():
        state, length = start, 0
        for name, index, content in sort:
            if index == "look":
                seen = [world.observe(state, e.predicate) for e in content if isinstance(e, Condition)]
                if any(each.truth is Tri.NO for each in seen):
                    break
                for each in (e for e in content if isinstance(e, Condition)):
                    state = world.observe(state, each.predicate).state_if_so
                continue
            length += 1
            after, _, broke = world.act_all(state, content)
            yield from ((rule, length) for rule in broke)
            if after is None:
                yield f"refused {name} {index}", length
                break
            state = after
        else:
            yield "finishes", length
            yield from ((rule, length) for rule in world.finish(state))


def test_verdicts_and_shortest_lengths_equal_brute_force() -> None:
    compared = violated = sorts = 0
    seed = 0
    while compared < PROCEDURES:
        seed += 1
        random = Random(seed)
        body = Maker(random.randrange, 7, plain=True).body(3)
        world = ToyWorld(random, refusals=15)
        program = compile_body(body)
        if count_orders(program).number > MOST_SORTS / 8:
            continue
        graph = graph_of(body)
        expected: dict[str, int] = {}
        found_sorts: set[tuple[Atom, ...]] = set()
        tried = 0
        for sort in nx.all_topological_sorts(graph):
            tried += 1
            if tried > MOST_SORTS:
                break
            found_sorts.add(tuple(atom for atom in sort if atom[1] != "look"))
            for name, length in act_out(sort, world):
                expected[name] = min(length, expected.get(name, length))
        if tried > MOST_SORTS:
            continue
        compared, sorts = compared + 1, sorts + tried
        result = search(program, world, bounds=Bounds(), clock=time.monotonic)
        actual = {violation.rule: violation.run.length for violation in result.violated}
        for refused in result.refused:
            node = program.nodes[refused.node]
            assert isinstance(node, Do)
            actual[f"refused {node.step} {node.index}"] = refused.run.length
        if result.finishes:
            actual["finishes"] = min(ended.run.length for ended in result.ended)
        assert result.complete
        assert actual == expected, seed
        assert count_orders(program) == (len(found_sorts), True), seed
        violated += bool(result.violated)
    assert violated > PROCEDURES / 4, "too few procedures are violated to mean anything"
    assert sorts > 10 * PROCEDURES, "the procedures are too small to mean anything"
