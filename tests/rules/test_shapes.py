"""Each shape on single moments."""

from __future__ import annotations

import pytest

from stepwell.model.predicate import ALWAYS, AnyOf, Ref
from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Never, Order, Shape
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask
from stepwell.rules.ground import GroundRule, instantiate
from stepwell.rules.moment import QUIET, Moment, Watched
from stepwell.rules.watch import finish, watch

from .bench import MAYBE, NO, RIG, YES, fact, rule, state

VENT_OPEN = fact("open", "vent")
FILLED = fact("filled", "oxygenator")


def bound(shape: Shape, when: object = ALWAYS) -> GroundRule:
    return instantiate(rule(shape, when=when), RIG).ground[0]  # type: ignore[arg-type]


def moment(before: Ask, after: Ask, *done: tuple[str, tuple[str, ...]], handed_over: bool = False) -> Moment:
    return Moment(done=done, before=before, after=after, handed_over=handed_over)


@pytest.mark.parametrize(("value", "violated"), [(YES, True), (MAYBE, True), (NO, False)])
def test_never_fires_unless_the_state_is_ruled_out(value: Tri, violated: bool) -> None:
    seen = watch(bound(Never(state=VENT_OPEN)), moment(state(), state(open_vent=value)), 0)
    assert seen == Watched(violated=violated, exercised=True)


@pytest.mark.parametrize(("value", "looks"), [(YES, True), (MAYBE, True), (NO, False)])
def test_a_context_that_may_hold_counts_as_held(value: Tri, looks: bool) -> None:
    made = bound(Never(state=VENT_OPEN), fact("patient-attached"))
    seen = watch(made, moment(state(), state(open_vent=YES, patient_attached=value)), 0)
    assert seen == (Watched(violated=True, exercised=True) if looks else QUIET)


@pytest.mark.parametrize(
    ("before", "after", "vent", "expected"),
    [
        (NO, YES, NO, (True, True)),
        (NO, MAYBE, NO, (True, True)),
        (NO, MAYBE, MAYBE, (True, True)),
        (NO, YES, YES, (False, True)),
        (MAYBE, YES, NO, (False, False)),
        (NO, NO, NO, (False, False)),
    ],
)
def test_becomes_fires_where_the_event_is_new_and_not_surely_permitted(
    before: Tri, after: Tri, vent: Tri, expected: tuple[bool, bool]
) -> None:
    made = bound(Becomes(event=FILLED, unless=VENT_OPEN))
    seen = watch(made, moment(state(filled_oxygenator=before, open_vent=vent), state(filled_oxygenator=after)), 0)
    assert (seen.violated, seen.exercised) == expected


def test_the_vent_must_have_been_open_before_the_action_that_fills() -> None:
    made = bound(Becomes(event=FILLED, unless=VENT_OPEN))
    both = state(filled_oxygenator=YES, open_vent=YES)
    assert watch(made, moment(state(), both), 0).violated


def test_a_passing_event_is_new_each_time() -> None:
    made = bound(Becomes(event=fact("reversed"), unless=AnyOf(())))
    again = state(reversed=YES)
    assert watch(made, moment(again, again), 0).violated


def test_an_event_that_is_never_permitted_is_looked_for_in_its_whole_context() -> None:
    made = bound(Becomes(event=fact("reversed"), unless=AnyOf(())), fact("patient-attached"))
    attached = state(patient_attached=YES)
    assert watch(made, moment(attached, attached), 0) == Watched(violated=False, exercised=True)
    assert watch(made, moment(state(), state()), 0) == QUIET


@pytest.mark.parametrize(("value", "violated"), [(YES, False), (MAYBE, True), (NO, True)])
def test_a_precondition_counts_only_when_it_is_sure(value: Tri, violated: bool) -> None:
    made = bound(BeforeDoing(verb="zero", part=Ref("first"), require=fact("dry", "line")))
    seen = watch(made, moment(state(dry_line=value), state(), ("zero", ("first",))), 0)
    assert seen == Watched(violated=violated, exercised=True)


def test_other_verbs_and_other_parts_do_not_set_it_off() -> None:
    made = bound(BeforeDoing(verb="zero", part=Ref("first"), require=fact("dry", "line")))
    assert watch(made, moment(state(), state(), ("zero", ("second",))), 0) == QUIET
    assert watch(made, moment(state(), state(), ("plug", ("first",))), 0) == QUIET
    at_once = moment(state(), state(), ("plug", ("first",)), ("zero", ("first",)))
    assert watch(made, at_once, 0).violated


def test_the_effect_of_the_action_itself_does_not_count() -> None:
    made = bound(BeforeDoing(verb="zero", part=None, require=fact("dry", "line")))
    assert watch(made, moment(state(), state(dry_line=YES), ("zero", ("first",))), 0).violated


@pytest.mark.parametrize(("value", "violated"), [(YES, False), (MAYBE, True), (NO, True)])
def test_the_end_must_surely_be_good(value: Tri, violated: bool) -> None:
    made = bound(AtTheEnd(require=fact("shut", "vent")))
    here = state(shut_vent=value)
    assert finish(made, here) == Watched(violated=violated, exercised=True)
    assert watch(made, moment(here, here), 0) == QUIET
    assert watch(made, moment(here, here, handed_over=True), 0) == Watched(violated=violated, exercised=True)


def test_the_end_is_silent_outside_its_context() -> None:
    made = bound(AtTheEnd(require=fact("shut", "vent")), fact("circuit-wet"))
    assert finish(made, state()) == QUIET


def test_other_shapes_have_nothing_to_say_at_the_end() -> None:
    assert finish(bound(Never(state=VENT_OPEN)), state(open_vent=YES)) == QUIET


def test_an_order_is_remembered() -> None:
    made = bound(Order(first=("stop", Ref("pump")), then=("part", None)))
    early = watch(made, moment(state(), state(), ("part", ("x", "y"))), 0)
    assert early == Watched(violated=True, exercised=True, memory=0)
    stopped = watch(made, moment(state(), state(), ("stop", ("pump",))), 0)
    assert stopped == Watched(violated=False, exercised=False, memory=1)
    assert watch(made, moment(state(), state(), ("open", ("clamp",))), 1).memory == 1
    assert watch(made, moment(state(), state(), ("part", ("x", "y"))), 1) == Watched(False, True, 1)


def test_the_first_done_to_another_part_is_not_the_first() -> None:
    """To stop the back-up drive is not to stop the pump; and what was done once does not count for another order."""
    made = bound(Order(first=("stop", Ref("pump")), then=("part", None)))
    other = watch(made, moment(state(), state(), ("stop", ("bag",))), 0)
    assert other == Watched(violated=False, exercised=False, memory=0)
    assert watch(made, moment(state(), state(), ("part", ("x", "y")), ("stop", ("bag",))), 0).violated
    named = bound(Order(first=("stop", Ref("pump")), then=("open", Ref("clamp"))))
    assert watch(named, moment(state(), state(), ("open", ("side-clamp",))), 0) == QUIET


def test_both_at_once_are_in_order() -> None:
    made = bound(Order(first=("stop", Ref("pump")), then=("part", None)))
    assert not watch(made, moment(state(), state(), ("part", ("x", "y")), ("stop", ("pump",))), 0).violated


def test_a_rule_for_the_end_alone_is_silent_at_hand_over() -> None:
    made = bound(AtTheEnd(require=fact("shut", "vent"), hand_over=False))
    here = state()
    assert watch(made, moment(here, here, handed_over=True), 0) == QUIET
    assert finish(made, here).violated
