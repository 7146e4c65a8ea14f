"""The search against an SMT solver with a position per node."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do
from stepwell.orders.search import Bounds, search

from .declare import declare
from .instance import LARGE, made
from .solver import MISSING, Positions, z3

SHAPE = replace(LARGE, actions=13, facts=6, items=5, rules=3)


def compared(first: int, instances: int) -> tuple[int, int, int]:
    """(verdicts compared, of these violated, states of the search)."""
    done = verdicts = violated = states = 0
    seed = first
    while done < instances:
        seed += 1
        instance = made(seed, SHAPE)
        program, world = compile_body(instance.body), declare(instance)
        if any(isinstance(node, Do) and len(node.actions) > 1 for node in program.nodes):
            continue
        found = search(program, world, bounds=Bounds(), clock=time.monotonic)
        if found.states < 30:
            continue
        done += 1
        lengths = {one.rule: one.run.length for one in found.violated}
        positions = Positions(instance, program)
        for rule in instance.rules:
            assert positions.shortest(rule) == lengths.get(rule.name), (seed, rule.name)
        verdicts, violated, states = verdicts + len(instance.rules), violated + len(lengths), states + found.states
    return verdicts, violated, states


@pytest.mark.skipif(z3 is None, reason=MISSING)
def test_a_share_of_the_instances() -> None:
    verdicts, violated, _ = compared(0, 4)
    assert 0 < violated < verdicts


@pytest.mark.nightly
@pytest.mark.skipif(z3 is None, reason=MISSING)
def test_all_instances() -> None:
    verdicts, violated, states = compared(0, 300)
    print(f"300 instances, {verdicts} verdicts, {violated} violated, {states} states: no disagreement")
