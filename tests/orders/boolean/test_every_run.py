"""The search against every run of small random procedures, one by one."""

from __future__ import annotations

import time

import pytest

from stepwell.orders.compile import compile_body
from stepwell.orders.search import Bounds, search

from .declare import declare
from .every_run import EveryRun, TooManyError
from .instance import made

MOST = 6_000
"""Instances with more steps of runs than this are passed over."""


def compared(first: int, instances: int) -> tuple[int, int, int]:
    """(verdicts compared, of these violated, runs): zero disagreements, or an assertion fails and names the seed."""
    done = verdicts = violated = runs = 0
    seed = first
    while done < instances:
        seed += 1
        instance = made(seed)
        try:
            every = EveryRun(instance, MOST)
        except TooManyError:
            continue
        done += 1
        runs += every.runs
        program, world = compile_body(instance.body), declare(instance)
        assert not program.problems
        found = search(program, world, bounds=Bounds(), clock=time.monotonic)
        assert found.complete
        assert {one.rule: one.run.length for one in found.violated} == every.shortest, seed
        assert found.finishes == bool(every.ends), seed
        verdicts += len(instance.rules)
        violated += len(every.shortest)
    return verdicts, violated, runs


def test_a_share_of_the_instances() -> None:
    verdicts, violated, runs = compared(0, 150)
    assert 0.2 < violated / verdicts < 0.8, "verdicts that are all alike would show nothing"
    assert runs > 50 * 150, "the instances are too small to mean anything"


@pytest.mark.nightly
def test_all_instances() -> None:
    verdicts, violated, runs = compared(0, 1500)
    print(f"1500 instances, {verdicts} verdicts, {violated} violated, {runs} runs: no disagreement")
