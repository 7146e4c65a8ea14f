"""The union of simple paths against enumeration by networkx."""

from __future__ import annotations

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from stepwell.circuit.links import Link, Links
from stepwell.circuit.paths import union_of_paths

SIZE = 9
EDGES = st.lists(st.tuples(st.integers(0, SIZE - 1), st.integers(0, SIZE - 1)), max_size=22)


def as_links(edges: list[tuple[int, int]]) -> Links:
    out: list[list[Link]] = [[] for _ in range(SIZE)]
    for number, (here, there) in enumerate(dict.fromkeys(edges)):
        if here != there:
            out[here].append(Link(there, number, False, True))
    return tuple(map(tuple, out))


def enumerated(edges: list[tuple[int, int]], source: int, targets: set[int]) -> set[int]:
    """All spaces on directed simple paths that pass through no target on their way."""
    graph = nx.DiGraph()
    graph.add_nodes_from(range(SIZE))
    graph.add_edges_from(edge for edge in edges if edge[0] != edge[1])
    found: set[int] = set()
    for target in targets - {source}:
        for path in nx.all_simple_paths(graph, source, target):
            if not targets & set(path[1:-1]):
                found.update(path)
    return found


@settings(max_examples=400, deadline=None)
@given(EDGES, st.integers(0, SIZE - 1), st.sets(st.integers(0, SIZE - 1), min_size=1, max_size=3))
def test_fill_set_equals_enumeration(edges: list[tuple[int, int]], source: int, targets: set[int]) -> None:
    targets = targets - {source}
    found = union_of_paths(as_links(edges), source, targets, stop=targets)
    assert found.exact
    assert found.spaces == enumerated(edges, source, targets)


@settings(max_examples=200, deadline=None)
@given(EDGES)
def test_loop_through_the_pump_equals_enumeration_of_cycles(edges: list[tuple[int, int]]) -> None:
    graph = nx.DiGraph(edge for edge in edges if edge[0] != edge[1])
    graph.add_node(0)
    expected = {space for cycle in nx.simple_cycles(graph) if 0 in cycle for space in cycle}
    assert union_of_paths(as_links(edges), 0, {0}).spaces == expected


@given(EDGES)
def test_past_the_limit_nothing_is_left_out(edges: list[tuple[int, int]]) -> None:
    full = union_of_paths(as_links(edges), 0, {SIZE - 1}, stop={SIZE - 1})
    cut = union_of_paths(as_links(edges), 0, {SIZE - 1}, stop={SIZE - 1}, limit=2)
    assert cut.exact or cut.spaces >= full.spaces
