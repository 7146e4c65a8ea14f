"""What lies on the way to an action without being one, and whether its time is known there."""

from __future__ import annotations

from dataclasses import replace

from stepwell.model.procedure import Body, Condition, Item, Otherwise, Sight, Step
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do, Pause
from stepwell.quantities.units import parse_quantity

from .bodies import WORDS, any_order, choose, hold, is_so, lanes, outcome, repeat, step

SIGHT = Sight(words=WORDS)


def look(name: str = "l", *, optional: bool = False, who: str = "a") -> Step:
    """A step at which somebody only looks, for ten to twenty seconds."""
    least, most = parse_quantity("10 s"), parse_quantity("20 s")
    assert least is not None
    assert most is not None
    return replace(step(name, "", expect=(SIGHT,), optional=optional), takes=(least, most), who=who)


def before(action: str, *body: Item) -> list[tuple[str, bool]]:
    """The pauses before a step's last action: (name without its place, whether its time is known)."""
    nodes = compile_body(tuple(body)).nodes
    pauses: tuple[Pause, ...] = next(node.pauses for node in reversed(nodes) if isinstance(node, Do) and node.step == action)
    return [(pause.name.partition(" ")[0], pause.takes is not None) for pause in pauses]


A, B = step("a"), step("b")


def test_a_look_that_surely_comes_before_has_its_time() -> None:
    assert before("a", look(), A) == [("l", True)]
    assert before("a", A, look()) == []
    assert before("b", look(), A, B) == [("l", True)], "what came before an action before it too"


def test_the_time_of_a_look_that_may_be_left_out_is_not_known() -> None:
    assert before("a", look(optional=True), A) == [("l", False)]
    assert ("l", False) in before("a", choose("q", outcome(look()), outcome()), A)
    past = step("s", expect=(Condition(predicate=is_so(0)),), if_not=Otherwise(step="a"))
    assert before("a", past, look(), A) == [("l", False)]


def test_nor_that_of_a_look_that_may_be_taken_back() -> None:
    again = step("s", "", expect=(Condition(predicate=is_so(0)),), if_not=Otherwise(step="l"))
    assert ("l", False) in before("a", look(), again, A)


def test_what_is_left_out_together_with_the_action_has_its_time() -> None:
    assert ("l", True) in before("a", choose("q", outcome(look(), A), outcome()))


def test_a_look_beside_the_action_counts_if_the_same_person_looks() -> None:
    assert before("a", any_order(look(), A)) == [("l", False)]
    assert before("a", any_order(look(who="another"), A)) == []
    assert before("a", lanes((look(who="another"),), (A,))) == []


def test_holds_questions_and_rounds_state_no_time() -> None:
    assert before("a", hold("h"), A) == [("h", False)]
    assert before("a", choose("q", outcome(), outcome()), A) == [("q", False)]
    rounds: Body = (repeat("r", is_so(0), 2, B), A)
    assert before("a", *rounds) == [("r", False), ("r", False)]


def test_the_look_of_a_step_that_acts_is_a_part_of_that_step() -> None:
    assert before("b", step("a", expect=(SIGHT,)), B) == []
