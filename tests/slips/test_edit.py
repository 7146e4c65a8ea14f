"""Bodies with one step out of its place."""

from __future__ import annotations

from stepwell.model.procedure import AnyOrder, Body, Choose, Item, Lane, Lanes, Outcome, Stage, Step, steps_of
from stepwell.slips.edit import one_up, put, to_start, twice


def step(name: str) -> Step:
    return Step(id=name, who="primer", say=())


def stage(*items: Item) -> Stage:
    return Stage(title="", body=items)


def ids(body: Body) -> str:
    return " ".join(one.id for one in steps_of(body))


def test_one_up_in_a_stage_and_out_of_it() -> None:
    body = (stage(step("a"), step("b")), stage(step("c"), step("d")))
    assert ids(one_up(body, "d")) == "a b d c"
    assert one_up(body, "c") == (stage(step("a"), step("c"), step("b")), stage(step("d")))
    assert one_up(body, "a") == body


def test_one_up_goes_before_a_whole_group_and_never_past_steps_without_order() -> None:
    lanes = Lanes(title="", lanes=(Lane(who="x", body=(step("b"), step("c"))), Lane(who="y", body=(step("d"),))))
    body = (step("a"), lanes, step("e"))
    assert ids(one_up(body, "e")) == "a e b c d"
    assert ids(one_up(body, "c")) == "a c b d e"
    assert ids(one_up(body, "d")) == "d a b c e"
    free = (step("a"), AnyOrder(title="", body=(step("b"), stage(step("c"), step("d")), step("e"))))
    assert ids(one_up(free, "e")) == "e a b c d"
    assert ids(one_up(free, "d")) == "a b d c e"
    assert ids(one_up(free, "c")) == "c a b d e"


def test_a_step_does_not_leave_its_answer() -> None:
    choose = Choose(id="q", question=(), who="x", outcomes=(Outcome(label="y", body=(step("b"), step("c"))),))
    body = (step("a"), choose)
    assert one_up(body, "b") == body
    assert ids(one_up(body, "c")) == "a c b"


def test_to_start_stays_in_its_stage() -> None:
    body = (step("a"), stage(step("b"), step("c"), step("d")))
    assert ids(to_start(body, "d")) == "a d b c"
    assert to_start(body, "b") == body
    free = (AnyOrder(title="", body=(step("a"), step("b"))),)
    assert to_start(free, "b") == free


def test_twice_is_directly_after() -> None:
    assert ids(put((step("a"), step("b")), "a", twice)) == "a a~2 b"
