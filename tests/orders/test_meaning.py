"""The composition table by example, one test per sentence of it."""

from __future__ import annotations

import time

import pytest

from stepwell.model.predicate import Predicate
from stepwell.model.procedure import Body, Condition, Item, Otherwise, Sight
from stepwell.model.tri import Tri
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do, Program
from stepwell.orders.search import Bounds, search
from stepwell.orders.searched import Run, Searched
from stepwell.orders.world import Acted, Observed, S, World

from .bodies import WORDS, any_order, choose, hold, is_so, lanes, outcome, repeat, stage, step
from .toy import DoneWorld, StillWorld


class Tape(StillWorld[str]):
    """The state remembers every action, so that each order is an end state of its own."""

    def __init__(self, truth: Tri = Tri.YES) -> None:
        super().__init__("", truth)

    def act(self, state: str, node: Do) -> Acted[str]:
        return Acted(state + node.step + "'" * node.index)


def found_in(body: Body, world: World[S]) -> tuple[Program, Searched[S]]:
    program = compile_body(body)
    return program, search(program, world, bounds=Bounds(), clock=time.monotonic)


def orders(*body: Item, truth: Tri = Tri.YES) -> set[str]:
    _, found = found_in(body, Tape(truth))
    assert found.complete
    return {ended.state for ended in found.ended}


A, B, C, D = step("a"), step("b"), step("c"), step("d")
SO = Condition(predicate=is_so(0))


def test_sequence_and_any_order() -> None:
    assert orders(A, B) == {"ab"}
    assert orders(any_order(A, B), C) == {"abc", "bac"}
    assert orders(any_order(stage(A, B), C)) == {"abc", "acb", "cab"}


def test_actions_of_a_step_mix_with_other_lanes_but_not_at_once() -> None:
    assert orders(lanes((step("a", "00"),), (B,))) == {"aa'b", "aba'", "baa'"}
    assert orders(lanes((step("a", "00", at_once=True),), (B,))) == {"ab", "ba"}


def test_a_hold_in_a_lane_bars_that_lane_only() -> None:
    assert orders(lanes((A, hold("h"), B), (C,))) == {"abc", "acb", "cab"}
    assert orders(lanes((A,), (C,)), hold("h"), B) == {"acb", "cab"}


def test_a_hold_waits_for_the_other_lane() -> None:
    body = (lanes((hold("h", is_so(1)), step("a", "0")), (step("b", "1"),)),)
    _, found = found_in(body, DoneWorld())
    assert (found.finishes, found.blocked, found.stuck) == (True, (), None)
    _, found = found_in((hold("h", is_so(1)), step("b", "1")), DoneWorld())
    assert [failed.truth for failed in found.blocked] == [Tri.NO]
    assert not found.finishes
    assert found.stuck is not None


def test_a_hold_with_words_to_abort_is_aborted_not_blocked() -> None:
    _, found = found_in((A, hold("h", is_so(0), abort=True), B), StillWorld(0, Tri.NO))
    assert (len(found.aborted), found.blocked, found.stuck) == (1, (), None)
    assert found.must_abort is not None
    assert found.aborted[0].run.length == 1


def test_what_may_be_so_is_taken_both_ways() -> None:
    program, found = found_in((step("a", expect=(SO,)), B), StillWorld(0, Tri.MAYBE))
    assert found.finishes
    assert found.stuck is None
    assert [(program.nodes[f.node].name, f.truth, f.option) for f in found.blocked] == [("a", Tri.MAYBE, 1)]


def test_if_not_words_or_card_ends_the_run_there() -> None:
    for told in (Otherwise(words=WORDS), Otherwise(card="other")):
        _, found = found_in((step("a", expect=(SO,), if_not=told), B), StillWorld(0, Tri.NO))
        assert len(found.aborted) == 1
        assert not found.finishes


def test_readings_and_sights_never_block() -> None:
    look = step("a", "", expect=(Sight(words=WORDS),), if_not=Otherwise(words=WORDS))
    assert orders(look, B, truth=Tri.NO) == {"b"}


def test_after_across_lanes_and_when_the_other_is_skipped() -> None:
    assert orders(lanes((A,), (step("b", after=("a",)),))) == {"ab"}
    assert orders(lanes((step("a", optional=True),), (step("b", after=("a",)),))) == {"ab", "b"}


def test_a_skipped_step_does_not_pass_on_what_it_waited_for() -> None:
    """c comes after a; b, which is optional, comes after d. Without b nothing keeps c from coming before d."""
    inner = choose("q", outcome(step("b", after=("d",))), outcome())
    assert "acd" in orders(lanes((A, inner, C), (D,)))
    both = lanes((A, inner, step("c", after=("d",))), (D,))
    assert all(order.index("d") < order.index("c") for order in orders(both))


def test_a_step_left_out_by_a_jump_does_not_pass_on_what_it_waited_for_either() -> None:
    """b waits for s, and x for both. Where a leads on to d at once, b is left out, and x still waits for s."""
    past = step("a", expect=(SO,), if_not=Otherwise(step="d"))
    body = lanes((past, step("b", after=("s",)), D), (step("s"),), (step("x", after=("b", "s")),))
    seen = orders(body, truth=Tri.NO)
    assert "adsx" in seen
    assert all(order.index("s") < order.index("x") for order in seen)


def test_after_a_step_of_a_repeat() -> None:
    twice = repeat("r", is_so(0), 2, A, step("b", after=("a",)))
    assert orders(lanes((twice,), (step("c", after=("b",)),)), truth=Tri.NO) == set()
    assert orders(lanes((twice,), (step("c", after=("b",)),)), truth=Tri.MAYBE) == {"abc", "ababc"}


def test_repeat() -> None:
    assert orders(repeat("r", is_so(0), 3, A), B) == {"ab"}
    assert orders(repeat("r", is_so(0), 3, A), B, truth=Tri.MAYBE) == {"ab", "aab", "aaab"}
    _, found = found_in((repeat("r", is_so(0), 3, A), B), StillWorld(0, Tri.NO))
    assert [failed.run.length for failed in found.blocked] == [3]


def test_after_within_a_repeat_means_the_same_round() -> None:
    body = (repeat("r", is_so(0), 2, any_order(step("b", after=("a",)), A)), C)
    assert compile_body(body).problems == ()
    assert orders(*body, truth=Tri.MAYBE) == {"abc", "ababc"}


def test_optional_is_decided_when_reached() -> None:
    assert orders(A, step("b", optional=True), C) == {"abc", "ac"}


def test_choose_and_nested_choose() -> None:
    inner = choose("q", outcome(A), outcome(B, C))
    assert orders(choose("p", outcome(inner), outcome(D)), step("e")) == {"ae", "bce", "de"}


def test_guards_limit_outcomes_and_none_blocks() -> None:
    asked = choose("q", outcome(A, when=is_so(0)), outcome(B))
    assert orders(asked, truth=Tri.NO) == {"b"}
    assert orders(asked, truth=Tri.MAYBE) == {"a", "b"}
    _, found = found_in((choose("q", outcome(A, when=is_so(0))),), StillWorld(0, Tri.NO))
    assert len(found.blocked) == 1


def test_end_stops_the_other_lanes_where_they_are() -> None:
    stop = choose("q", outcome(end=True), outcome(A))
    assert orders(lanes((stop,), (B, C)), D) == {"", "b", "bc", "abcd", "bacd", "bcad"}
    done = choose("q", outcome(A, card="other"))
    _, found = found_in((lanes((done,), (B,)), D), Tape())
    assert {(ended.card, ended.state) for ended in found.ended} == {("other", "a"), ("other", "ba")}


def test_jump_forward_skips_what_lies_between() -> None:
    look = step("a", expect=(SO,), if_not=Otherwise(step="d"))
    assert orders(look, B, stage(C, D), truth=Tri.NO) == {"ad"}
    assert orders(look, B, stage(C, D), truth=Tri.MAYBE) == {"ad", "abcd"}
    assert orders(stage(look), B, step("d", optional=True), truth=Tri.NO) == {"ad"}
    sight = step("a", expect=(Sight(words=WORDS),), if_not=Otherwise(step="c"))
    assert orders(sight, B, C) == {"abc", "ac"}


def test_jump_back_does_it_again_as_often_as_need_be() -> None:
    """The look of b is so once verb 2 was done, which happens in the other lane only after the first round."""
    back = step("b", "1", expect=(Condition(predicate=is_so(2)),), if_not=Otherwise(step="a"))
    program, found = found_in((lanes((step("a", "0"), back, step("c", "3")), (step("d", "2"),)),), DoneWorld())
    assert found.finishes
    assert found.stuck is None
    _, alone = found_in((A, step("b", expect=(SO,), if_not=Otherwise(step="a"))), StillWorld(0, Tri.NO))
    assert alone.complete
    assert not alone.finishes
    assert alone.stuck is not None, "going round for ever is no way to the end"
    assert program.problems == ()


def test_jump_back_to_itself_and_runs_that_go_back_replay() -> None:
    class Third(Tape):
        def observe(self, state: str, predicate: Predicate) -> Observed[str]:
            return Observed(Tri.YES if state.count("b") == 3 else Tri.NO, state)

        def act(self, state: str, node: Do) -> Acted[str]:
            return Acted(state + node.step if len(state) < 9 else state)

    look = step("n", "", expect=(Sight(words=WORDS),))
    for target, order, looks in (("b", "abbbc", 1), ("n", "abbbc", 3), ("a", "abababc", 3)):
        program, found = found_in((A, look, step("b", expect=(SO,), if_not=Otherwise(step=target)), C), Third())
        assert {ended.state for ended in found.ended} == {order}
        run = found.ended[0].run
        assert "".join(n.name for m in run.moves if isinstance(n := program.nodes[m.node], Do)) == order
        assert sum(program.nodes[move.node].name == "n" for move in run.moves) == looks


class Once(Tape):
    """A fact is so once step ``c`` was done."""

    def observe(self, state: str, predicate: Predicate) -> Observed[str]:
        return Observed(Tri.YES if "c" in state else Tri.NO, state)

    def act(self, state: str, node: Do) -> Acted[str]:
        return Acted(state + node.step if state.count(node.step) < 2 else state)


def test_jump_back_into_a_stage_leaves_what_stands_before_it() -> None:
    body = (stage(A, B), step("c"), step("d", expect=(Condition(predicate=is_so(0)),), if_not=Otherwise(step="b")))

    class Twice(Once):
        def observe(self, state: str, predicate: Predicate) -> Observed[str]:
            return Observed(Tri.YES if state.count("d") == 2 else Tri.NO, state)

    _, found = found_in(body, Twice())
    assert {ended.state for ended in found.ended} == {"abcdbcd"}


def test_what_is_taken_back_must_be_done_again_before_what_comes_after_it() -> None:
    """c and b come after z, and c after b. When z is taken back after b, c still waits for z."""
    again = step("s", "", expect=(SO,), if_not=Otherwise(step="z"))
    body = (lanes((step("z"), again), (step("b", after=("z",)), step("c", after=("z",)))),)
    _, found = found_in(body, Once())
    assert {ended.state for ended in found.ended} >= {"zbc", "zbzc", "zzbc"}
    assert "zbcz" not in {ended.state for ended in found.ended}


def test_each_condition_that_fails_is_told() -> None:
    class Mixed(StillWorld[int]):
        def observe(self, state: int, predicate: Predicate) -> Observed[int]:
            return Observed(Tri.MAYBE if predicate == is_so(0) else Tri.NO, state)

    program, found = found_in((hold("h", is_so(0), is_so(1)),), Mixed(0))
    assert [(failed.option, failed.truth) for failed in found.blocked] == [(1, Tri.MAYBE), (2, Tri.NO)]
    assert program.nodes[found.blocked[1].node].name == "h"


def test_an_end_may_violate_sooner_than_an_action_met_before() -> None:
    class Both(StillWorld[int]):
        def act(self, state: int, node: Do) -> Acted[int]:
            return Acted(state, None, frozenset({"rule"}))

        def finish(self, state: int) -> frozenset[str]:
            return frozenset({"rule"})

    _, found = found_in((choose("q", outcome(A), outcome(end=True)),), Both(0))
    violation = found.violation("rule")
    assert violation is not None
    assert (violation.run.length, violation.at_end) == (0, True)


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        ((step("a", after=("z",)),), "unknown-step"),
        ((step("a", after=("b",)), B), "circle"),
        ((step("a", after=("a",)),), "circle"),
        ((lanes((step("a", after=("d",)), B), (C, step("d", after=("b",)))),), "circle"),
        ((step("a", expect=(SO,), if_not=Otherwise(step="z")),), "unknown-step"),
        ((lanes((step("a", expect=(SO,), if_not=Otherwise(step="b")),), (B,)),), "jump"),
        ((step("a", expect=(SO,), if_not=Otherwise(step="b")), choose("q", outcome(B))), "jump"),
        ((C, lanes((step("a", expect=(SO,), if_not=Otherwise(step="c")),), (B,))), "jump"),
    ],
)
def test_what_cannot_be_compiled_is_told_and_left_out(body: Body, kind: str) -> None:
    program, found = found_in(body, StillWorld(0))
    assert [problem.kind for problem in program.problems] == [kind]
    assert found.finishes


def test_after_a_later_line_renumbers_and_keeps_names() -> None:
    body = (any_order(step("a", after=("b",)), step("b", optional=True)), C)
    program = compile_body(body)
    assert [problem.kind for problem in program.problems] == []
    assert all(need < 1 << index for index, need in enumerate(program.needs))
    assert orders(*body) == {"bac", "ac"}
    named = {name: {program.nodes[i].name for i in range(9) if mask >> i & 1} for name, mask in program.steps}
    assert named == {"a": {"a"}, "b": {"b"}, "c": {"c"}}


def test_an_empty_body_finishes_at_once() -> None:
    _, found = found_in((), Tape())
    assert found.ended[0].run == Run(0, (), 0)
    assert orders(stage(), any_order(), lanes((), ())) == {""}
