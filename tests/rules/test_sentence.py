"""Sentences of made-up rules; those of the catalogue are quoted in the case files."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stepwell.model.predicate import AllOf, AnyOf, Not, Predicate, Quantified, Ref, Selector
from stepwell.model.quantity import Quantity
from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Enough, Match, Never, NeverLonger, Order, Within
from stepwell.rules.clause import clauses
from stepwell.rules.sentence import sentence

from .bench import fact, rule

VENT = Selector(kind="vent")
CLAMP = Selector(kind="clamp")
OPEN = fact("open", "v")


@pytest.mark.parametrize(
    ("predicate", "expected"),
    [
        (fact("open", "vent"), ("vent is open",)),
        (Not(fact("open", "vent")), ("vent is shut",)),
        (Not(Not(fact("open", "vent"))), ("vent is open",)),
        (fact("position", "tap", "all"), ("tap is at “all”",)),
        (fact("flow", "forward"), ("the flow is forward",)),
        (fact("dry", "s.site"), ("the site of s is dry",)),
        (fact("dry", "s.somewhere"), ("the somewhere of s is dry",)),
        (AllOf((fact("dry", "a"), fact("dry", "b"))), ("a is dry", "b is dry")),
        (Not(AnyOf((fact("dry", "a"), fact("dry", "b")))), ("a holds liquid", "b holds liquid")),
        (AnyOf((fact("dry", "a"), fact("dry", "b"))), ("either a is dry or b is dry",)),
        (Not(AllOf((fact("dry", "a"), fact("dry", "b")))), ("either a holds liquid or b holds liquid",)),
        (
            AnyOf((fact("dry", "a"), AllOf((fact("dry", "b"), fact("dry", "c"))))),
            ("either a is dry or both b is dry and c is dry",),
        ),
        (
            AnyOf((fact("dry", "a"), AnyOf((fact("dry", "b"), fact("dry", "c"))))),
            ("a is dry, b is dry or c is dry",),
        ),
        (Quantified(True, "v", VENT, OPEN), ("every vent is open",)),
        (Quantified(False, "v", VENT, OPEN), ("some vent is open",)),
        (Not(Quantified(False, "v", VENT, OPEN)), ("no vent is open",)),
        (Not(Quantified(True, "v", VENT, OPEN)), ("some vent is shut",)),
        (
            Quantified(True, "v", VENT, AnyOf((OPEN, fact("dry", "v.of")))),
            ("for every vent, either that vent is open or the space behind that vent is dry",),
        ),
    ],
)
def test_clauses(predicate: Predicate, expected: tuple[str, ...]) -> None:
    assert clauses(predicate, {}) == expected


def test_never() -> None:
    made = rule(Never(state=AllOf((OPEN, fact("below-air", "v.of")))), v=VENT)
    assert sentence(made) == (
        "For every vent, it must be certain at all times that either the vent is shut or the pressure in the space behind "
        "the vent is not below the air's."
    )


def test_becomes_with_and_without_a_permit() -> None:
    filled = fact("filled", "v.of")
    assert sentence(rule(Becomes(event=filled, unless=OPEN), v=VENT)) == (
        "For every vent, it must be certain that the vent is open before it becomes possible that the space behind the vent "
        "is filled."
    )
    assert sentence(rule(Becomes(event=fact("reversed"), unless=AnyOf(())))) == (
        "It must never become possible that the flow turns backwards."
    )


def test_before_doing_with_context_and_kinds_of_procedure() -> None:
    made = rule(
        BeforeDoing(verb="run", part=Ref("d"), require=fact("filled", "d.head")),
        when=AnyOf((fact("patient-attached"), fact("circuit-wet"))),
        procedures=("routine", "check"),
        d=Selector(kind="drive"),
    )
    assert sentence(made) == (
        "In routine and check procedures, for every pump, while a patient is attached or the set holds liquid, just before "
        "somebody runs the pump, it must be certain that the head on the pump is filled."
    )


def test_before_doing_to_anything_and_to_a_pair() -> None:
    anything = rule(BeforeDoing(verb="turn", part=None, require=fact("circuit-wet")))
    assert sentence(anything) == "Just before somebody turns a tap, it must be certain that the set holds liquid."
    pair = rule(BeforeDoing(verb="join", part=Ref("e"), require=fact("bare", "e")), e=Selector(kind="end"))
    assert sentence(pair) == (
        "For every connector, just before somebody joins the connector and another, it must be certain that the connector "
        "is open."
    )


def test_the_end_with_and_without_the_hand_over() -> None:
    shut = fact("shut", "v")
    assert sentence(rule(AtTheEnd(require=shut), v=VENT)) == (
        "For every vent, at the end of the card and at hand-over it must be certain that the vent is shut."
    )
    assert sentence(rule(AtTheEnd(require=shut, hand_over=False), v=VENT)) == (
        "For every vent, at the end of the card it must be certain that the vent is shut."
    )


def test_order() -> None:
    made = rule(
        Order(first=("gas-off", Ref("g")), then=("stop", Ref("d"))),
        g=Selector(kind="gas-supply"),
        d=Selector(kind="drive"),
    )
    assert sentence(made) == (
        "For every gas supply and every pump, somebody stops the pump only after somebody turns the gas supply off."
    )


def test_two_of_a_kind_are_told_apart() -> None:
    made = rule(Never(state=AllOf((fact("open", "a"), fact("open", "b")))), a=CLAMP, b=CLAMP)
    assert sentence(made) == (
        "For every clamp A and every clamp B, it must be certain at all times that either the clamp A is shut or the "
        "clamp B is shut."
    )


def test_selections_by_trait() -> None:
    made = rule(Never(state=fact("dry", "m")), m=Selector(traits=("main",)))
    assert sentence(made) == ("For every part of the main path, it must be certain at all times that the part holds liquid.")
    loose = rule(Never(state=fact("open", "c")), c=Selector(kind="cap", without=("vented",)))
    assert sentence(loose) == "For every cap that is not vented, it must be certain at all times that the cap is shut."


def test_never_longer() -> None:
    made = rule(NeverLonger(state=OPEN, than=Quantity(Decimal(30), "s")), v=VENT)
    assert sentence(made) == (
        "For every vent, it must not be possible for longer than 30 s that the vent is open, nor once whoever caused it "
        "goes on to another step."
    )


def test_enough() -> None:
    counted = Enough(variable="c", over=CLAMP, that=fact("shut", "c"), stock=Ref("s", "count"))
    assert sentence(rule(counted, s=Selector(kind="clamp-stock"))) == (
        "For every clamp stock, it must be certain at all times that a clamp is shut in no more cases than the count of the "
        "clamp stock."
    )


def test_match() -> None:
    sensor = Selector(kind="pressure-sensor")
    made = rule(Match(of=Ref("s"), with_=Ref("s", "site"), word="side"), s=sensor)
    assert sentence(made) == (
        "For every pressure sensor, the side of the sensor must be the same as the side of the site of the sensor."
    )
    apart = rule(Match(of=Ref("s", "site"), with_=Ref("t", "site"), same=False), s=sensor, t=sensor)
    assert sentence(apart) == (
        "For every pressure sensor S and every pressure sensor T, the site of the sensor S must not be the site of the "
        "sensor T."
    )
    end = Selector(kind="end")
    assert sentence(rule(Match(of=Ref("e"), with_=Ref("e", "joined"), word="role"), e=end)).endswith(
        "the role of the connector must be the same as the role of the connector joined to the connector."
    )


def test_within() -> None:
    made = Within(of=fact("flow", "forward"), comes=fact("gas-flowing", "g"), time=Quantity(Decimal(60), "s"))
    assert sentence(rule(made, g=Selector(kind="gas-supply"))) == (
        "For every gas supply, once it becomes possible that the flow is forward, at most 60 s later it must be certain "
        "that the gas supply is on."
    )
