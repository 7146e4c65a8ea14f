"""The search against an explicit-state model checker on larger procedures."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from stepwell.orders.compile import compile_body
from stepwell.orders.search import Bounds, search

from .declare import declare
from .instance import LARGE, made
from .promela import COMPILER, MISSING, SPIN, ask

MOST_STATES = 150_000
"""Instances with more places than this are passed over."""


def compared(first: int, instances: int, folder: Path) -> tuple[int, int, int]:
    """(verdicts compared, of these violated, states of the search)."""
    done = verdicts = violated = states = 0
    seed = first
    while done < instances:
        seed += 1
        instance = made(seed, LARGE)
        program, world = compile_body(instance.body), declare(instance)
        found = search(program, world, bounds=Bounds(states=MOST_STATES), clock=time.monotonic)
        if not found.complete or found.states < 200:
            continue
        done += 1
        answer = ask(instance, program, folder)
        assert answer.complete, seed
        assert {one.rule: one.run.length for one in found.violated} == answer.shortest, seed
        verdicts, violated, states = verdicts + len(instance.rules), violated + len(answer.shortest), states + found.states
    return verdicts, violated, states


@pytest.mark.skipif(SPIN is None or COMPILER is None, reason=MISSING)
def test_a_share_of_the_instances(tmp_path: Path) -> None:
    verdicts, violated, _ = compared(0, 3, tmp_path)
    assert 0 < violated < verdicts


@pytest.mark.nightly
@pytest.mark.skipif(SPIN is None or COMPILER is None, reason=MISSING)
def test_all_instances(tmp_path: Path) -> None:
    verdicts, violated, states = compared(0, 300, tmp_path)
    print(f"300 instances, {verdicts} verdicts, {violated} violated, {states} states: no disagreement")
