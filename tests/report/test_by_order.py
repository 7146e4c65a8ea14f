"""Rules that hold by what must come before what, although not all orders were searched: never one that a search breaks."""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import islice

import pytest

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.plain_facts import plain
from stepwell.circuit.verb_table import VERBS
from stepwell.circuit.written import BY_VERB, FOLLOWS, contradicted, writes
from stepwell.model.bodies import each_leaf
from stepwell.model.predicate import ALWAYS, Fact, Ref
from stepwell.model.procedure import Action, Body, Procedure, Step, steps_of
from stepwell.model.rule import AtTheEnd
from stepwell.orders.compile import compile_body
from stepwell.orders.search import Bounds, search
from stepwell.report.bites import blind
from stepwell.report.by_order import ByOrder
from stepwell.report.check import Options, check_procedure, known_starts
from stepwell.report.results import Status
from stepwell.report.world import CircuitWorld
from stepwell.rules.applies import rules_for
from stepwell.rules.ground import GroundRule, instantiate
from stepwell.slips.variants import variants
from tests.demo import procedure, workspace
from tests.report.test_not_decided import all_at_once, checked

BOUNDS = Bounds(states=20_000, seconds=30.0)
CHECKED = [one.id for one in workspace().procedures if not one.wording_only]


@cache
def world_of(name: str) -> CircuitWorld:
    """The world of a procedure of the demo, with every rule that applies to it."""
    found = procedure(name)
    rig = next(rig for rig in workspace().rigs if rig.id == found.rig)
    starts = known_starts(workspace(), found, rig, clock=time.monotonic, bounds=Bounds())
    ground = tuple(
        one for rule in rules_for(workspace().rules, found, workspace().unit) for one in instantiate(rule, rig).ground
    )
    return CircuitWorld(compile_rig(rig), starts, ground, found.ends)


def compared(name: str, most: int | None) -> Counter[str]:
    """Each slip of a procedure, with and without its looks: what is shown by order is broken by no order."""
    counted: Counter[str] = Counter()
    world = world_of(name)
    rig = world.layout.rig
    for variant in islice(variants(procedure(name).body, rig), most):
        for body in (variant.body, blind(variant.body)):
            program = compile_body(body)
            found = search(program, world, bounds=BOUNDS, clock=time.monotonic)
            asked = ByOrder(program, world.layout, world.starts_of_the_circuit(), world.grounded)
            shown = asked.shown(world.rules)
            broken = {one.rule for one in found.violated}
            assert not broken & shown, (name, variant)
            assert asked.bears_out(world.transitions())
            counted["shown"] += len(shown)
            counted["broken"] += len(broken)
    return counted


@pytest.mark.parametrize("name", ["air-in-circuit", "connect-va", "prime-adult"])
def test_what_is_shown_by_order_is_broken_by_no_slip_of_a_sample(name: str) -> None:
    counted = compared(name, 24)
    assert counted["shown"] > 100, "else it is worth nothing"
    assert counted["broken"] > 3, "else the comparison shows nothing"


@pytest.mark.nightly
@pytest.mark.parametrize("name", CHECKED)
def test_what_is_shown_by_order_is_broken_by_no_slip(name: str) -> None:
    print(name, dict(compared(name, None)))


def test_a_part_of_the_rules_is_decided_where_the_search_is_cut_short() -> None:
    """Eight people do the priming with nothing that holds them up: what hangs on clamps and caps alone is still decided."""
    report = checked(all_at_once(8), Bounds(states=2_000))
    assert not report.complete
    held = {verdict.rule for verdict in report.verdicts if verdict.status is Status.HOLDS}
    assert held
    assert all(not verdict.searched for verdict in report.verdicts if verdict.rule in held)
    assert any(verdict.status is Status.NOT_DECIDED for verdict in report.verdicts)


def test_one_action_that_did_otherwise_than_is_known_of_it_silences_all_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(BY_VERB, "hang", BY_VERB["take-down"])
    report = checked(all_at_once(8), Bounds(states=2_000))
    assert not any(verdict.status is Status.HOLDS for verdict in report.verdicts)


def test_a_search_that_was_not_cut_short_asks_nothing_of_it() -> None:
    report = check_procedure(workspace(), procedure("air-in-circuit"), clock=time.monotonic, options=Options(bites=False))
    assert report.complete
    assert all(verdict.searched for verdict in report.verdicts)


def test_where_every_rule_would_be_decided_the_procedure_still_is_not() -> None:
    """Whether every order can be finished has no verdict: a search that was cut short must not look like a whole one."""
    found = procedure("air-in-circuit")
    world = world_of(found.id)
    asked = ByOrder(compile_body(found.body), world.layout, world.starts_of_the_circuit(), world.grounded)
    shown = asked.shown(world.rules)
    assert shown
    easy = replace(workspace(), rules=tuple(rule for rule in workspace().rules if rule.name in shown))
    whole = check_procedure(easy, found, clock=time.monotonic, options=Options(bites=False))
    assert whole.complete
    cut = check_procedure(easy, found, clock=time.monotonic, options=Options(bounds=Bounds(states=3), bites=False))
    assert not cut.complete
    assert any(verdict.status is Status.NOT_DECIDED for verdict in cut.verdicts)


def test_a_clamp_whose_shutting_may_be_skipped_is_not_shown_to_be_shut() -> None:
    """The closing of the vent made optional: then nothing shows that it is shut at the end, and a search finds the order."""
    found = procedure("prime-adult")
    closing = [step for step in steps_of(found.body) if any(a.verb == "shut" and "vent" in a.parts[0] for a in step.do)]
    assert closing, "the demo shuts its vent in a step of its own"
    last = closing[-1].id

    def shown(one: Procedure) -> frozenset[str]:
        world = world_of("prime-adult")
        asked = ByOrder(compile_body(one.body), world.layout, world.starts_of_the_circuit(), world.grounded)
        return asked.shown(world.rules)

    skipped = replace(
        found, body=each_leaf(found.body, lambda leaf: replace(leaf, optional=True) if leaf.id == last else leaf)
    )
    assert "vent-left-open" in shown(found)
    assert "vent-left-open" not in shown(skipped)


def judged(shape: AtTheEnd) -> GroundRule:
    """A rule of this shape that always applies."""
    return GroundRule(rule=workspace().rules[0], bindings=(), when=ALWAYS, shape=shape, verbs=None)


def doing(verb: str, part: str) -> Step:
    return Step(id=f"{verb}-{part}", who="primer", say=(), do=(Action(verb=verb, parts=(part,)),))


def holds(name: str, body: Body, rule: GroundRule) -> bool:
    """Whether the rule is shown for this body from the starts of a procedure; one that is shown is broken by no order."""
    world, program = world_of(name), compile_body(body)
    shown = ByOrder(program, world.layout, world.starts_of_the_circuit(), world.grounded).holds(rule)
    own = CircuitWorld(world.layout, world.starts_of_the_circuit(), (rule,), ())
    broken = bool(search(program, own, bounds=BOUNDS, clock=time.monotonic).violated)
    assert not (shown and broken)
    return shown


def test_a_clamp_that_is_partly_shut_at_the_end_is_neither_open_nor_shut() -> None:
    opened, shut = (
        judged(AtTheEnd(require=Fact(name, (Ref("recirc-clamp"),)), hand_over=False)) for name in ("open", "shut")
    )
    body = (doing("shut", "recirc-clamp"), doing("throttle", "recirc-clamp"))
    assert not holds("prime-adult", body, opened)
    assert not holds("prime-adult", body, shut)
    assert holds("prime-adult", (*body, doing("open", "recirc-clamp")), opened)


def test_a_vent_that_is_open_while_the_patient_is_joined_was_not_shut_throughout() -> None:
    """Shut at the end, and open at the derived hand-over in the middle: only a rule for the end alone is shown."""
    body = (doing("open", "oxy-vent"), *procedure("connect-va").body, doing("shut", "oxy-vent"))
    shut = Fact("shut", (Ref("oxy-vent"),))
    assert holds("connect-va", body, judged(AtTheEnd(require=shut, hand_over=False)))
    assert not holds("connect-va", body, judged(AtTheEnd(require=shut)))


def test_of_every_verb_it_is_known_what_it_writes() -> None:
    assert set(BY_VERB) == {verb.name for verb in VERBS}


def test_verbs_write_what_they_are_said_to_write() -> None:
    """Over all that the slips of three procedures lead to; and a write that is told wrongly is noticed."""
    for name in ("prime-adult", "circuit-change", "arrival"):
        compared(name, 12)
        world = world_of(name)
        seen = tuple(world.transitions())
        assert len(seen) > 5
        assert not any(contradicted(world.layout, *one) for one in seen)
    before, actions, after = next(
        one for one in world_of("prime-adult").transitions() if any(action.verb == "open" for action in one[1])
    )
    layout = world_of("prime-adult").layout
    changed = writes(layout, next(action for action in actions if action.verb == "open"))[0].variable
    wrong = tuple(1 - min(value, 1) if number == changed else value for number, value in enumerate(after))
    assert contradicted(layout, before, actions, wrong)
    untouched = next(
        n for n, v in enumerate(layout.variables) if v.name == "gate" and n != changed and after[n] == before[n]
    )
    meddled = tuple(1 - min(value, 1) if number == untouched else value for number, value in enumerate(after))
    assert contradicted(layout, before, actions, meddled)


def test_a_plain_fact_says_what_its_table_says() -> None:
    """Every plain fact of the rules, in states that the demo reaches, against its own evaluation."""
    compared_rows = 0
    for name in ("prime-adult", "connect-va", "arrival"):
        world = world_of(name)
        compared(name, 4)
        layout = world.layout
        states = [after for _, _, after in islice(world.transitions(), 40)]
        values = {
            number: frozenset(state[number] for state in states)
            for number, variable in enumerate(layout.variables)
            if variable.name not in FOLLOWS
        }
        facts = sorted({fact for rule in world.rules for fact in rule.facts()})
        for fact, args in facts:
            rows = plain(layout, fact, args, values)
            if rows is None:
                continue
            for state in states:
                told = {row.truth for row in rows if all(state[variable] == value for variable, value in row.values)}
                assert told == {world.ask(state)(fact, args)}, (name, fact, args)
                compared_rows += 1
    assert compared_rows > 1000


def test_what_follows_from_the_state_of_the_circuit_is_not_plain() -> None:
    layout = compile_rig(workspace().rigs[0])
    values = {n: frozenset(range(len(v.words))) for n, v in enumerate(layout.variables) if v.words and v.name not in FOLLOWS}
    assert plain(layout, "circuit-wet", (), values) is None
    assert plain(layout, "air-entered", (), values) is None
