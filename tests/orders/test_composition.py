"""Every construct inside every other: the search agrees with the slow reference reading on random bodies."""

from __future__ import annotations

import time
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepwell.model.procedure import Body
from stepwell.orders.compile import compile_body
from stepwell.orders.count import count_orders
from stepwell.orders.program import Ask, Bar, Do, End, Look, Loop, Program
from stepwell.orders.search import Bounds, search
from stepwell.orders.searched import Failed, Searched, replay

from .bodies import Maker, actions_of
from .reference import Facts, explore, orders_of
from .toy import Toy, ToyWorld


@st.composite
def bodies(draw: st.DrawFn, size: int) -> Body:
    return Maker(lambda below: draw(st.integers(0, below - 1)), size).body(3)


def facts_of(program: Program, found: Searched[Toy]) -> Facts:
    """The result of a search in the words of the reference."""

    def named(failures: tuple[Failed, ...]) -> dict[str, int]:
        lengths: dict[str, int] = {}
        for failed in failures:
            name = program.nodes[failed.node].name
            lengths[name] = min(failed.run.length, lengths.get(name, failed.run.length))
        return lengths

    refused: dict[tuple[str, int], int] = {}
    for each in found.refused:
        node = program.nodes[each.node]
        assert isinstance(node, Do)
        refused[node.step, node.index] = each.run.length - 1
    return Facts(
        violated={violation.rule: violation.run.length for violation in found.violated},
        refused=refused,
        blocked=named(found.blocked),
        aborted=named(found.aborted),
        ended={(ended.card, ended.state): ended.run.length for ended in found.ended},
        stuck=None if found.stuck is None else found.stuck.run.length,
        must_abort=None if found.must_abort is None else found.must_abort.run.length,
    )


def replays(program: Program, world: ToyWorld, found: Searched[Toy]) -> None:
    """Every run does what it is said to do."""
    for violation in found.violated:
        states = replay(program, world, violation.run)
        last = violation.run.moves[-1] if violation.run.moves else None
        if violation.at_end:
            assert violation.rule in world.finish(states[-1])
        else:
            assert last is not None
            node = program.nodes[last.node]
            assert isinstance(node, Do)
            assert violation.rule in world.act(states[-2], node).broke
    for ended in found.ended:
        assert replay(program, world, ended.run)[-1] == ended.state
    runs = [violation.run for violation in found.violated] + [refused.run for refused in found.refused]
    runs += [failed.run for failed in (*found.blocked, *found.aborted)] + [ended.run for ended in found.ended]
    for run in runs:
        assert run.length == sum(isinstance(program.nodes[move.node], Do) for move in run.moves)
    for refused in found.refused:
        states = replay(program, world, refused.run)
        node = program.nodes[refused.run.moves[-1].node]
        assert isinstance(node, Do)
        assert world.act(states[-2], node).state is None


def agrees(body: Body, world: ToyWorld) -> None:
    program = compile_body(body)
    assert program.problems == ()
    found = search(program, world, bounds=Bounds(), clock=time.monotonic)
    assert found.complete
    assert facts_of(program, found) == explore(body, world)
    replays(program, world, found)


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(bodies(6), st.integers(0, 2**32))
def test_search_agrees_with_the_reference(body: Body, seed: int) -> None:
    agrees(body, ToyWorld(Random(seed)))


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(bodies(7))
def test_count_agrees_with_the_reference(body: Body) -> None:
    counted = count_orders(compile_body(body))
    assert counted.exact
    assert counted.number == orders_of(body)


def test_a_thousand_seeds_and_every_construct_met() -> None:
    """The generator is not lame: all kinds of node and all kinds of result occur, and all agree."""
    kinds: set[type] = set()
    results: set[str] = set()
    for seed in range(1000):
        random = Random(seed)
        body, world = Maker(random.randrange, 6).body(3), ToyWorld(random)
        if actions_of(body) > 8:
            continue
        program = compile_body(body)
        found = search(program, world, bounds=Bounds(), clock=time.monotonic)
        facts = facts_of(program, found)
        assert facts == explore(body, world), seed
        assert count_orders(program).number == orders_of(body), seed
        kinds |= {type(node) for node in program.nodes}
        results |= {name for name in ("violated", "refused", "blocked", "aborted", "ended") if getattr(facts, name)}
        results |= {name for name in ("stuck", "must_abort") if getattr(facts, name) is not None}
    assert kinds == {Do, Look, Bar, Ask, Loop, End}
    assert results == {"violated", "refused", "blocked", "aborted", "ended", "stuck", "must_abort"}
