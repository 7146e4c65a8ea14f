"""Simple temporal networks: the example of the paper that introduced them, and networkx on random ones."""

from __future__ import annotations

import random
from itertools import combinations
from math import inf

import networkx as nx
import pytest

from stepwell.quantities.simple_temporal import Between, minimal

# Dechter, Meiri and Pearl 1991, from memory: John goes by car (30 to 40 min), Fred in a carpool (40 to 50). John leaves
# 10 to 20 min after seven, Fred arrives 60 to 70 after it, and John arrives 10 to 20 after Fred has left.
JOHN_AND_FRED = (
    Between("seven", "John leaves", 10, 20),
    Between("John leaves", "John arrives", 30, 40),
    Between("Fred leaves", "John arrives", 10, 20),
    Between("Fred leaves", "Fred arrives", 40, 50),
    Between("seven", "Fred arrives", 60, 70),
)

# The minimal network of the same paper, every pair of its five points, from memory and worked out again.
MINIMAL = {
    ("seven", "John leaves"): (10, 20),
    ("seven", "John arrives"): (40, 50),
    ("seven", "Fred leaves"): (20, 30),
    ("seven", "Fred arrives"): (60, 70),
    ("John leaves", "John arrives"): (30, 40),
    ("John leaves", "Fred leaves"): (10, 20),
    ("John leaves", "Fred arrives"): (50, 60),
    ("John arrives", "Fred leaves"): (-20, -10),
    ("John arrives", "Fred arrives"): (20, 30),
    ("Fred leaves", "Fred arrives"): (40, 50),
}


def test_the_example_of_the_paper() -> None:
    found = minimal(JOHN_AND_FRED)
    assert found is not None
    assert {pair: found.between(*pair) for pair in MINIMAL} == MINIMAL
    points = ("seven", "John leaves", "John arrives", "Fred leaves", "Fred arrives")
    assert {frozenset(pair) for pair in MINIMAL} == {frozenset(pair) for pair in combinations(points, 2)}, "every pair"


def test_the_minimal_network_holds_no_time_that_can_not_be_kept() -> None:
    """Every bound of the minimal network is met by some timing that keeps all that was asked."""
    for (first, then), bounds in MINIMAL.items():
        for bound in bounds:
            assert minimal((*JOHN_AND_FRED, Between(first, then, bound, bound))) is not None
            beyond = bound + 1 if bound == bounds[1] else bound - 1
            assert minimal((*JOHN_AND_FRED, Between(first, then, beyond, beyond))) is None


def test_too_much_at_once_is_inconsistent() -> None:
    assert minimal((*JOHN_AND_FRED, Between("John leaves", "Fred leaves", 25, 30))) is None


def test_what_nothing_bounds_is_unbounded() -> None:
    found = minimal((Between("a", "b", least=5), Between("a", "c", 1, 2)))
    assert found is not None
    assert found.between("a", "b") == (5, inf)
    assert found.between("c", "b") == (3, inf)


@pytest.mark.parametrize("seed", range(40))
def test_networkx_finds_the_same(seed: int) -> None:
    rng = random.Random(seed)
    points = "abcdef"[: rng.randint(2, 6)]
    drawn = [
        Between(*rng.sample(points, 2), rng.randint(-5, 5), rng.choice((inf, rng.randint(0, 12))))
        for _ in range(len(points) + 2)
    ]
    graph = nx.MultiDiGraph()
    for one in drawn:
        graph.add_edge(one.first, one.then, weight=one.most)
        graph.add_edge(one.then, one.first, weight=-one.least)
    simple = nx.DiGraph()
    for first, then, data in graph.edges(data=True):
        known = simple.get_edge_data(first, then, {"weight": inf})["weight"]
        simple.add_edge(first, then, weight=min(known, data["weight"]))
    found = minimal(drawn)
    assert (found is None) is nx.negative_edge_cycle(simple)
    if found is not None:
        for first, row in nx.floyd_warshall(simple).items():
            for then, distance in row.items():
                assert found.between(first, then)[1] == distance
