"""Meetings of lanes: by example, and against the slow reference reading on random bodies."""

from __future__ import annotations

import time
from random import Random

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from stepwell.model.bodies import meetings_of, through, woven
from stepwell.model.procedure import AnyOrder, Body, Item, Lanes, Meet, Stage, steps_of
from stepwell.orders.compile import compile_body
from stepwell.orders.count import count_orders
from stepwell.orders.search import Bounds, search

from .bodies import Maker, any_order, choose, hold, is_so, lanes, outcome, repeat, stage, step
from .reference import explore, orders_of
from .test_composition import facts_of
from .test_meaning import A, B, C, D, found_in, orders
from .toy import DoneWorld, ToyWorld

M, N = Meet(name="m"), Meet(name="n")
E, F = step("e"), step("f")


def problems(*body: Item) -> list[tuple[str, str]]:
    return [(problem.kind, problem.other) for problem in compile_body(body).problems]


def test_what_stands_behind_a_meeting_waits_for_all_before_it() -> None:
    assert orders(lanes((A, M, B), (C, M, D))) == {"acbd", "acdb", "cabd", "cadb"}


def test_who_comes_first_waits() -> None:
    assert orders(lanes((M, A), (B, M))) == {"ba"}
    assert orders(lanes((M, A), (M, B))) == {"ab", "ba"}


def test_who_waits_for_somebody_waits_for_all_that_he_waited_for() -> None:
    """The second lane does nothing between its meetings, and comes to the second only after the first has taken place."""
    assert orders(lanes((A, M), (M, N, B), (N, C))) == {"abc", "acb"}
    assert orders(lanes((C, N), (N, M), (M, B))) == {"cb"}
    assert orders(lanes((M, B), (N, M), (C, N))) == {"cb"}


def test_meetings_that_cross_are_told_even_with_nothing_between_them() -> None:
    assert problems(lanes((M, N, A), (N, M, B))) == [("meeting", "n")]


def test_a_lane_that_does_not_name_it_neither_waits_nor_is_waited_for() -> None:
    assert orders(lanes((A, M), (M, B), (C,))) == {"abc", "acb", "cab"}


def test_three_lanes_meet_as_two_do() -> None:
    assert orders(lanes((A, M, D), (B, M), (C, M))) == {f"{one}d" for one in ("abc", "acb", "bac", "bca", "cab", "cba")}


def test_lanes_span_stages_with_meetings_between_them() -> None:
    spanning = lanes((stage(A, M, B), stage(N, E)), (stage(C), M, stage(D, N), F))
    assert all("".join(one).index("d") < one.index("e") and one.index("c") < one.index("b") for one in orders(spanning))
    assert "acbdef" in orders(spanning)


def test_meetings_equal_the_after_that_says_the_same() -> None:
    meeting = lanes((A, M, B), (C, M, D))
    after = lanes((A, step("b", after=("c",))), (C, step("d", after=("a",))))
    assert orders(meeting) == orders(after)


def test_a_hold_before_a_meeting_is_passed_first() -> None:
    held = lanes((hold("h", is_so(0)), M), (M, A))
    program, found = found_in((held,), DoneWorld())
    assert found.blocked or found.aborted
    assert not found.finishes
    assert program.problems == ()


def test_a_meeting_in_a_repeat_is_one_of_its_round() -> None:
    again = repeat("r", is_so(0), 2, lanes((A, M), (M, B)))
    assert compile_body((again,)).problems == ()
    assert all(one.replace("ab", "") == "" for one in orders(again))


def test_who_goes_straight_from_one_meeting_to_the_next_passes_the_waiting_on() -> None:
    assert orders(lanes((N, B), (M, N), (A, M))) == {"ab"}
    assert problems(lanes((N, B), (M, N), (A, M))) == []


def test_a_meeting_in_an_answer_waits_only_where_it_is_chosen() -> None:
    asked = choose("q", outcome(lanes((A, M), (M, B))), outcome(C))
    assert orders(asked) == {"ab", "c"}


def test_a_meeting_within_lanes_is_one_of_the_inner_lanes() -> None:
    inner = lanes((A, M), (M, B))
    assert problems(lanes((inner,), (M, C))) == [("meeting", "m")]
    assert problems(lanes((inner, M), (M, C))) == []


@pytest.mark.parametrize(
    ("body", "names"),
    [
        ((lanes((A, M, B), (C,)),), ["m"]),
        ((M, A), ["m"]),
        ((lanes((any_order(M, A),), (M, B)),), ["m", "m"]),
        ((lanes((choose("q", outcome(M)),), (M, B)),), ["m", "m"]),
        ((lanes((A, M, B, N), (C, N, D, M, E)),), ["n"]),
        ((lanes((A, M, B), (step("c", after=("b",)), M)),), []),
    ],
)
def test_what_can_not_be_is_a_problem(body: Body, names: list[str]) -> None:
    found = problems(*body)
    assert [name for kind, name in found if kind == "meeting"] == names
    assert found


def test_a_meeting_adds_no_node_and_no_state() -> None:
    with_meeting, without = (compile_body((lanes((A, *more, B), (C, *more, D)),)) for more in ((M,), ()))
    assert set(with_meeting.nodes) == set(without.nodes)


@st.composite
def bodies(draw: st.DrawFn, size: int) -> Body:
    return Maker(lambda below: draw(st.integers(0, below - 1)), size, meets=True).body(3)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(bodies(6), st.integers(0, 2**32))
def test_search_and_count_agree_with_the_reference(body: Body, seed: int) -> None:
    agrees(body, ToyWorld(Random(seed)))


def agrees(body: Body, world: ToyWorld) -> bool:
    """False where an ``after`` runs against a meeting, so that there is nothing to compare."""
    program = compile_body(body)
    assume(not program.problems)
    found = search(program, world, bounds=Bounds(), clock=time.monotonic)
    assert found.complete
    assert facts_of(program, found) == explore(body, world)
    assert count_orders(program).number == orders_of(body)
    return True


def lanes_in(body: Body) -> list[Lanes]:
    found: list[Lanes] = []
    for item in body:
        if isinstance(item, Lanes):
            found += [item, *(inner for lane in item.lanes for inner in lanes_in(lane.body))]
        elif isinstance(item, Stage | AnyOrder):
            found += lanes_in(item.body)
    return found


def test_many_seeds_of_which_many_meet() -> None:
    """The generator is not lame: in a good part of the bodies that are compared a meeting takes orders away."""
    compared = narrowed = 0
    for seed in range(400):
        random = Random(seed)
        maker = Maker(random.randrange, 8, meets=True)
        body, world = (lanes_of(maker),), ToyWorld(random)
        program = compile_body(body)
        if program.problems or not any(meetings_of(lane.body) for one in lanes_in(body) for lane in one.lanes):
            continue
        number = count_orders(program).number
        if number > 1000:
            continue
        found = search(program, world, bounds=Bounds(), clock=time.monotonic)
        assert facts_of(program, found) == explore(body, world), seed
        assert number == orders_of(body), seed
        compared += 1
        narrowed += number < count_orders(compile_body(free(body))).number
    assert compared > 60
    assert narrowed > compared / 4


def lanes_of(maker: Maker) -> Item:
    return maker.lanes(3)


def free(body: Body) -> Body:
    """The body without its meetings."""
    return tuple(through(item, free) for item in body if not isinstance(item, Meet))


def test_lanes_are_woven_so_that_nobody_goes_on_before_a_meeting() -> None:
    both = lanes((stage(A, M, B), C), (D, M, E))
    assert [one.id for one in steps_of(woven(both.lanes))] == ["a", "d", "b", "c", "e"]
    compared = 0
    for seed in range(900):
        random = Random(seed)
        item = Maker(random.randrange, 8, plain=True, meets=True).lanes(3)
        assert isinstance(item, Lanes)
        row = [one.id for one in steps_of(woven(item.lanes))]
        assert sorted(row) == sorted(one.id for one in steps_of((item,)))
        program = compile_body((item,))
        inner = [one for lane in item.lanes for one in lanes_in(lane.body)]
        if program.problems or inner or any(one.after for one in steps_of((item,))):
            continue
        compared += 1
        place = {name: at for at, name in enumerate(row)}
        for name, mask in program.steps:
            for other, others in program.steps:
                needed = any(program.needs[node] & others for node in range(len(program.nodes)) if mask >> node & 1)
                assert name == other or not needed or place[other] < place[name], seed
    assert compared > 50


def test_crossing_meetings_are_woven_without_end() -> None:
    crossing = lanes((A, M, B, N), (C, N, D, M))
    assert sorted(one.id for one in steps_of(woven(crossing.lanes))) == ["a", "b", "c", "d"]
