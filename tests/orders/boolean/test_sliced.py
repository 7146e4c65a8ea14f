"""Slices against the plain search, which is itself compared with every run, with a model checker and with a solver."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do, End, Program, turn
from stepwell.orders.search import Bounds, search
from stepwell.orders.searched import Run
from tests.orders.boolean.declared import Declared, When
from tests.orders.boolean.sliced import decide

from .declare import declare
from .instance import LARGE, SMALL, Shape, made

SAFER = replace(LARGE, conditional=15, facts=12)
"""Fewer violations, so that whole slices are searched."""
GUARDED = replace(LARGE, guards=40, holds=15, facts=5)


def check_run(program: Program, world: Declared, hazard: str, run: Run) -> None:
    """The run is an order of the program, can be done in the whole world, and meets the hazard with its last move."""
    by_name = {one.name: one for one in world.hazards}
    state, mask, broke = world.starts()[run.start], 0, frozenset[str]()
    for move in run.moves:
        assert not program.covers[move.node] & ~mask
        assert not mask >> move.node & 1
        node = program.nodes[move.node]
        ends = [
            n
            for n, one in enumerate(program.nodes)
            if isinstance(one, End) and not (mask >> n & 1 or program.covers[n] & ~mask)
        ]
        assert not ends or (move.node in ends and move == run.moves[-1]), "nothing comes after an end"
        if isinstance(node, Do):
            acted = world.act(state, node)
            broke = acted.broke
            if acted.state is None:
                assert move == run.moves[-1]
            else:
                state = acted.state
        skips, undoes = turn(node, move.option)
        assert not undoes
        mask |= 1 << move.node | skips
    if by_name[hazard].when is When.END:
        assert mask == program.full or isinstance(program.nodes[run.moves[-1].node], End)
        broke = world.finish(state)
    assert hazard in broke
    assert run.length == sum(isinstance(program.nodes[move.node], Do) for move in run.moves)


def compared(first: int, instances: int, shape: Shape) -> tuple[int, int, int, int, int]:
    """(verdicts, of these violated, of these by a slice, states of the slices, states of the plain search)."""
    verdicts = violated = sliced = few = many = done = 0
    seed = first
    while done < instances:
        seed += 1
        instance = made(seed, shape)
        program, world = compile_body(instance.body), declare(instance)
        found = search(program, world, bounds=Bounds(states=100_000), clock=time.monotonic)
        if not found.complete:
            continue
        done += 1
        lengths = {one.rule: one.run.length for one in found.violated}
        for decision in decide(program, world, bounds=Bounds(), clock=time.monotonic):
            assert decision.decided
            length = None if decision.run is None else decision.run.length
            assert length == lengths.get(decision.hazard), (seed, decision)
            if decision.run is not None:
                check_run(program, world, decision.hazard, decision.run)
            verdicts += 1
            violated += decision.run is not None
            sliced += decision.sliced
            few += decision.states
        many += found.states
    return verdicts, violated, sliced, few, many


def test_a_share_of_the_instances() -> None:
    verdicts, violated, sliced, _, _ = compared(0, 250, SMALL)
    assert 0.2 < violated / verdicts < 0.8
    assert sliced > verdicts / 2
    for shape in (LARGE, SAFER, GUARDED):
        verdicts, violated, sliced, _, _ = compared(0, 15, shape)
        assert 0 < violated < verdicts
        assert sliced > verdicts / 2


@pytest.mark.nightly
@pytest.mark.parametrize(
    ("shape", "instances"),
    [(SMALL, 1500), (LARGE, 300), (SAFER, 300), (GUARDED, 300)],
    ids=["small", "large", "safer", "guarded"],
)
def test_all_instances(shape: Shape, instances: int) -> None:
    verdicts, violated, sliced, few, many = compared(0, instances, shape)
    print(f"{verdicts} verdicts, {violated} violated, {sliced} by slices; states {few} in slices, {many} plain")
