"""What edits mean, on the demo unit: verdicts, slips, orders, times, cards; and that the worst comes first."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from stepwell.compare.between import edits_between
from stepwell.compare.meaning import Side, affected, compare, rules_hash, safety_order
from stepwell.compare.relations import order_changes, precedence
from stepwell.compare.results import Comparison, Turn
from stepwell.compare.times import Times, times_of
from stepwell.compare.worth import slips_worth_comparing
from stepwell.model.procedure import AnyOrder, Hold, Item, Lane, Lanes, Meet, Procedure, Stage, Step, Text
from stepwell.model.quantity import Quantity
from stepwell.model.review import Quorum, ReviewPolicy, Seat, Signer
from stepwell.model.waiver import Waiver
from stepwell.model.workspace import Workspace
from stepwell.publish.build import build_sheet
from stepwell.render.compare.text import render_compare
from stepwell.render.text.look import Look
from stepwell.report.bites import blind
from stepwell.slips.find import find_slips
from tests import demo

DAY = date(2026, 11, 25)


def with_procedure(changed: Procedure) -> Workspace:
    unit = demo.workspace()
    return replace(unit, procedures=tuple(changed if one.id == changed.id else one for one in unit.procedures))


def side(name: str, unit: Workspace, procedures: frozenset[str], *, slips: bool = False) -> Side:
    wanted = [one for one in unit.procedures if one.id in procedures]
    return Side(
        name=name,
        workspace=unit,
        checked={one.id: demo.checked(one, unit) for one in wanted},
        slips={one.id: found for one in wanted if slips and (found := find_slips(unit, one, clock=time.monotonic))},
        hashes={one.id: build_sheet(unit, one, None, DAY).hash for one in unit.procedures},
    )


def compared(new: Workspace, *, slips: bool = False, old: Workspace | None = None) -> Comparison:
    old = old or demo.workspace()
    between = edits_between(old, new)
    here, there = affected(between, old, new)
    sides = side("old", old, here, slips=slips), side("new", new, there, slips=slips)
    return compare(*sides, as_of=DAY, between=between, slips=slips)


@pytest.fixture(scope="module")
def turned() -> Comparison:
    """The return side opened before the pump turns fast enough, on a card on which nobody looks and nothing stops it."""
    found = demo.procedure("connect-va")
    unseen = replace(found, body=blind(found.body))
    return compared(with_procedure(demo.moved_behind(unseen, "h5yb", "j3cw")), slips=True, old=with_procedure(unseen))


def test_a_turned_order_is_one_move_and_a_rule_newly_violated(turned: Comparison) -> None:
    assert [edit.sort.value for edit in turned.edits] == ["moved"]
    worse = [one for one in turned.meaning.verdicts if one.worse]
    assert ("SW124", "holds", "violated") in [(one.code, one.old, one.new) for one in worse]
    assert turned.anything_weaker
    assert [(one.turn, {one.first, one.then}) for one in turned.meaning.orders] == [(Turn.REVERSED, {"h5yb", "j3cw"})]


def test_slips_of_a_procedure_that_harms_by_itself_are_not_called_better(turned: Comparison) -> None:
    assert turned.meaning.unsafe == ("connect-va",)
    assert turned.meaning.slips == ()


def test_the_card_is_to_be_printed_again_and_its_version_raised(turned: Comparison) -> None:
    assert [(card.procedure, card.same_version) for card in turned.cards] == [("connect-va", True)]


def test_a_dropped_look_makes_slips_silent() -> None:
    """Nobody looks any more: what a look caught before is silent now."""
    found = demo.procedure("connect-va")

    def blind(step: Step) -> Step:
        return replace(step, expect=(), if_not=None, confirm=None)

    changed = replace(found, body=demo.changed(found.body, blind))
    result = compared(with_procedure(changed), slips=True)
    assert [one for one in result.meaning.slips if one.worse]
    assert all(not one.worse for one in result.meaning.slips if one.old == "silent harm")
    assert {edit.field for edit in result.weaker} == {"expect", "if-not", "confirm"}


def test_the_same_unit_means_nothing() -> None:
    found = compared(demo.workspace())
    assert found.edits == ()
    assert not found.anything_weaker
    assert found.cards == ()


def test_a_rule_change_has_every_procedure_checked() -> None:
    unit = demo.workspace()
    fewer = replace(unit, rules=unit.rules[1:])
    assert affected(edits_between(unit, fewer), unit, fewer)[1] == {one.id for one in unit.procedures}
    assert rules_hash(unit) != rules_hash(fewer)
    assert edits_between(unit, fewer).edits[0].weaker


def test_a_changed_number_reaches_the_steps_that_use_it() -> None:
    unit = demo.workspace()
    numbers = tuple(
        replace(one, value=Quantity(one.value.value - 100, one.value.unit)) if one.name == "restart-speed" else one
        for one in unit.unit.numbers
    )
    speed = next(one.value for one in unit.unit.numbers if one.name == "restart-speed")
    changed = demo.procedure("pump-stopped")

    def slower(step: Step) -> Step:
        do = tuple(
            replace(
                one, options=tuple((n, Quantity(speed.value - 100, speed.unit) if v == speed else v) for n, v in one.options)
            )
            for one in step.do
        )
        return replace(step, do=do)

    changed = replace(changed, body=demo.changed(changed.body, slower))
    new = replace(with_procedure(changed), unit=replace(unit.unit, numbers=numbers))
    edits = edits_between(unit, new).edits
    assert [(edit.item, edit.field) for edit in edits] == [("number:restart-speed", "value")]
    assert "c2nw" in edits[0].reaches[0]


def test_weakenings_come_before_everything_else() -> None:
    found = demo.procedure("connect-va")
    changed = replace(found, title="Another title", fewest_people=1, version="9")
    edits = safety_order(edits_between(demo.workspace(), with_procedure(changed)).edits)
    assert [edit.field for edit in edits] == ["fewest-people", "version", "title"]


def step(name: str, *, after: tuple[str, ...] = (), seconds: int = 0) -> Step:
    span = Quantity(Decimal(seconds), "s")
    return Step(id=name, who="nurse", say=(Text(name),), after=after, takes=(span, span) if seconds else None)


def order(*body: Item) -> set[str]:
    found = precedence(body)
    return {
        found.steps[a].id + found.steps[b].id
        for a in range(len(found.steps))
        for b in range(len(found.steps))
        if found.surely(a, b)
    }


@pytest.mark.parametrize(
    ("body", "before"),
    [
        ((step("a"), step("b"), step("c")), {"ab", "ac", "bc"}),
        ((AnyOrder(title="", body=(step("a"), step("b"))), step("c")), {"ac", "bc"}),
        (
            (step("a"), AnyOrder(title="", body=(Stage(title="", body=(step("b"), step("c"))), step("d")))),
            {"ab", "ac", "ad", "bc"},
        ),
        (
            (
                Lanes(title="", lanes=(Lane(who="x", body=(step("a"), step("b"))), Lane(who="y", body=(step("c"),)))),
                step("d"),
            ),
            {"ab", "ad", "bd", "cd"},
        ),
        (
            (
                Lanes(
                    title="",
                    lanes=(
                        Lane(who="x", body=(step("a"), Meet(name="m"), step("b"))),
                        Lane(who="y", body=(Stage(title="", body=(step("c"), Meet(name="m"), step("d"))),)),
                    ),
                ),
            ),
            {"ab", "ad", "cb", "cd"},
        ),
        ((AnyOrder(title="", body=(step("a"), step("b", after=("a",)), step("c", after=("b",)))),), {"ab", "bc", "ac"}),
    ],
)
def test_what_comes_surely_before_what(body: tuple[Item, ...], before: set[str]) -> None:
    assert order(*body) == before


def test_a_free_order_frees_pairs_and_a_wait_binds_them() -> None:
    found = demo.procedure("connect-va")

    def of(*body: Item) -> Procedure:
        return replace(found, body=body)

    loose = of(AnyOrder(title="", body=(step("a"), step("b"))))
    fixed = of(step("a"), step("b"))
    ids = {"a": "a", "b": "b"}
    assert [one.turn for one in order_changes(fixed, loose, ids, {})] == [Turn.FREED]
    bound = order_changes(loose, of(AnyOrder(title="", body=(step("a", after=("b",)), step("b")))), ids, {})
    assert [(one.turn, one.first, one.then) for one in bound] == [(Turn.BOUND, "b", "a")]


def test_times_add_up_and_lanes_run_side_by_side() -> None:
    lanes = Lanes(
        title="", lanes=(Lane(who="x", body=(step("b", seconds=20),)), Lane(who="y", body=(step("c", seconds=90),)))
    )
    hold = Hold(id="h", title=(), until=(), agree=(), abort=())
    found = times_of(replace(demo.procedure(), body=(step("a", seconds=10), lanes, hold, step("d"))))
    assert (found.shortest, found.longest, found.unstated) == (100, 100, 1)
    assert str(found) == "1 min 40 s stated, 1 step without a time"
    said = {12.5: "12.5 s", 59.9: "59.9 s", 60: "1 min", 119.6: "2 min", 3600: "1 h", 3905: "1 h 5 min 5 s"}
    assert {time: str(Times(shortest=time, longest=time, unstated=0)) for time in said} == said


def test_slips_are_searched_only_where_something_changed_that_they_hang_on() -> None:
    old = demo.workspace()
    found = demo.procedure("connect-va")
    words = replace(found, body=demo.changed(found.body, lambda one: replace(one, say=(Text("Other words."),), why=())))
    course = replace(found, body=demo.changed(found.body, lambda one: replace(one, confirm=None)))
    for changed, wanted in ((words, ()), (course, ("connect-va",))):
        new = with_procedure(changed)
        between = edits_between(old, new)
        here, there = affected(between, old, new)
        checked = side("old", old, here).checked, side("new", new, there).checked
        assert slips_worth_comparing(between, (old, new), checked) == (wanted, wanted)


def test_a_procedure_that_now_does_harm_is_said_to_have_no_comparable_slips() -> None:
    found = compared(with_procedure(demo.moved_behind(demo.procedure("connect-va"), "h5yb", "j3cw")))
    assert found.meaning.unsafe == ()
    text = render_compare(replace(found, meaning=replace(found.meaning, unsafe=("connect-va",))), Look(width=200))
    assert "slips can't be compared, for the procedure itself now does harm" in text


def test_a_waiver_a_longer_one_and_another_policy_are_weakenings() -> None:
    unit = replace(demo.workspace(), waivers=())
    rule = unit.rules[0].name
    waiver = Waiver(rule=rule, procedure="connect-va", reason="Under review.", by="specialist", until=date(2026, 12, 31))
    waived = replace(unit, waivers=(waiver,))
    added = edits_between(unit, waived).edits
    assert [(one.sort.value, one.weaker) for one in added] == [("added", ("a rule is waived",))]
    longer = replace(unit, waivers=(replace(waiver, until=date(2027, 12, 31)),))
    assert [(one.field, bool(one.weaker)) for one in edits_between(waived, longer).edits] == [("until", True)]
    assert [bool(one.weaker) for one in edits_between(longer, waived).edits] == [False]
    assert [bool(one.weaker) for one in edits_between(waived, unit).edits] == [False]
    other = replace(unit, unit=replace(unit.unit, policy=(*unit.unit.policy, ("an-open-question", "this-way"))))
    assert [bool(one.weaker) for one in edits_between(unit, other).edits] == [True]


def test_fewer_approvals_a_new_signer_and_minutes_are_weakenings() -> None:
    unit = demo.workspace()
    policy = ReviewPolicy(
        signers=(Signer(id="lead", roles=("specialist",)),),
        quorums=(Quorum(sort="routine", seats=(Seat(role="specialist", count=2),)),),
    )

    def reviewed(found: ReviewPolicy) -> Workspace:
        return replace(unit, unit=replace(unit.unit, review=found))

    fewer = replace(policy, quorums=(Quorum(sort="routine", seats=(Seat(role="specialist", count=1),)),))
    more = replace(policy, signers=(*policy.signers, Signer(id="other", roles=("surgeon",))))
    loose = replace(policy, minutes_count=True, walk_through=False)
    for changed, number in ((fewer, 1), (more, 1), (loose, 2)):
        edits = edits_between(reviewed(policy), reviewed(changed)).edits
        assert [bool(one.weaker) for one in edits] == [True] * number
        assert not any(
            one.weaker for one in edits_between(reviewed(changed), reviewed(policy)).edits if one.sort.value != "removed"
        )


def test_a_signer_without_any_role_is_told_and_the_reverse_is_weaker() -> None:
    """Found by the ten thousand mutations: a list of words that is empty was taken for a list of things."""
    one = demo.workspace()
    policy = one.unit.review
    assert policy is not None
    bare = replace(policy, signers=tuple(replace(who, roles=()) for who in policy.signers))
    less = replace(one, unit=replace(one.unit, review=bare))
    found = edits_between(one, less)
    assert found.undisclosed == ()
    assert {edit.field for edit in found.edits} == {"roles"}
    back = edits_between(less, one)
    assert back.undisclosed == ()
    assert all("may now approve as" in edit.weaker[0] for edit in back.edits)
