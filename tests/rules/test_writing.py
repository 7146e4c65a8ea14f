"""The rules of writing: for each at least one text that breaks it and one that does not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from stepwell.model.procedure import (
    Action,
    Choose,
    Hold,
    Item,
    Kind,
    Otherwise,
    Outcome,
    Procedure,
    Sight,
    Stage,
    Step,
    Text,
    Use,
    Warn,
    Words,
)
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Part, Rig
from stepwell.model.unit import Unit
from stepwell.rules.writing.all_rules import RULES, writing_findings
from stepwell.rules.writing.page import Page

UNIT = Unit(
    name="Bench", region="eu", languages=("en",), roles=(), numbers=(), reading_distance=Quantity(Decimal(60), "cm"),
    avoid=(("as you like", "state the value"),),
)  # fmt: skip
RIG = Rig(
    id="bench", title="Bench", version="1", chains=(), baselines=(),
    parts=(Part(id="prime-clamp", kind="clamp", label="prime clamp"),),
)  # fmt: skip


def words(text: str) -> Words:
    return (Text(text),) if text else ()


def step(say: str, **more: object) -> Step:
    return Step(id="a1bc", who="nurse", say=words(say), **more)  # type: ignore[arg-type]


def procedure(*body: Item, **more: object) -> Procedure:
    found = Procedure(
        id="p", title="P", version="1", kind=Kind.ROUTINE, rig="bench", use=Use.READ_AND_DO, use_when=(), do_not_use_when=(),
        people=("nurse",), fewest_people=1, kit=(), starts=None, ends=(), cautions=(), sources=(), done_call=words("Done."),
        body=body,
    )  # fmt: skip
    return replace(found, **more)  # type: ignore[arg-type]


def warn(hazard: str = "Air.", avoidance: str = "Do not open it.", severity: str = "serious") -> Warn:
    return Warn(hazard=words(hazard), consequence=words("The patient dies."), avoidance=words(avoidance), severity=severity)


def question(inner: tuple[Item, ...] = ()) -> Choose:
    outcomes = (Outcome(label="yes", body=inner), Outcome(label="no", end=True))
    return Choose(id="q1aa", question=words("Air?"), who="nurse", outcomes=outcomes)


LOOK = (Sight(words=words("no bubble")),)
OPEN = (Action(verb="open", parts=("prime-clamp",)),)
TEN = tuple(step("Wait.") for _ in range(10))

BREAKS: dict[str, list[Callable[[], Procedure]]] = {
    "several-actions-in-a-line": [
        lambda: procedure(step("Open X, turn Y, shut Z and run the pump.")),
        lambda: procedure(step("Open X and then turn Y and then shut Z and then stop.")),
    ],
    "vague-word": [
        lambda: procedure(step("Set the flow as required.")),
        lambda: procedure(step("Wait.", if_not=Otherwise(words=words("Look for an adequate flow.")))),
        lambda: procedure(step("Fill it as you like.")),
    ],
    "condition-after-action": [
        lambda: procedure(step("Open the clamp if the line is full.")),
        lambda: procedure(step("Stop the pump when air is seen.")),
    ],
    "action-in-a-warning": [lambda: procedure(step("Open X.", warn=(warn(avoidance="Shut the clamp first."),)))],
    "no-leading-verb": [
        lambda: procedure(step("The clamp is opened.")),
        lambda: procedure(step("Carefully open the clamp.")),
    ],
    "arithmetic-in-an-emergency": [
        lambda: procedure(step("Run for 3 x 20 s, that is 3 × 20."), kind=Kind.EMERGENCY),
        lambda: procedure(step("Multiply the flow by the weight."), kind=Kind.EMERGENCY),
    ],
    "too-many-branches": [
        lambda: procedure(question(), question(), question(), kind=Kind.EMERGENCY),
        lambda: procedure(question((question(),)), kind=Kind.EMERGENCY),
    ],
    "too-many-immediate-actions": [
        lambda: procedure(Stage(title="At once", body=TEN[:4]), kind=Kind.EMERGENCY),
    ],
    "block-too-long": [lambda: procedure(*TEN), lambda: procedure(Stage(title="Long", body=TEN))],
    "deadline-without-a-way-out": [lambda: procedure(step("Open the clamp within 30 s."))],
    "warning-is-the-only-control": [lambda: procedure(step("Wait."), step("Open X.", warn=(warn(severity="fatal"),)))],
    "check-that-changes": [lambda: procedure(step("Check the clamp.", do=OPEN))],
    "figure-easily-misread": [
        lambda: procedure(step("Set .5 L/min.")),
        lambda: procedure(step("Set 1.0 L/min.")),
        lambda: procedure(step("Give 500 IU.")),
        lambda: procedure(step("Draw 5 cc.")),
        lambda: procedure(step("Wait 5min.")),
    ],
    "label-typed-by-hand": [lambda: procedure(step("Open the prime clamp."))],
    "line-too-long": [lambda: procedure(step("Open " + "very " * 20 + "slowly."))],
    "negative-line": [lambda: procedure(step("Wait, and do not open the clamp."))],
    "no-completion-call": [lambda: procedure(step("Wait."), done_call=())],
    "reason-missing": [lambda: procedure(step("Wait.", confirm="other"))],
    "call-and-reply-alone": [lambda: procedure(step("Wait."), use=Use.CALL_AND_REPLY)],
    "look-without-expectation": [lambda: procedure(step("Look at the return limb."))],
}

KEEPS: dict[str, list[Callable[[], Procedure]]] = {
    "several-actions-in-a-line": [
        lambda: procedure(step("Take X off, turn Y to all ways and wait.")),
        lambda: procedure(step("Open X and Y.")),
        lambda: procedure(step("Call for help and start ventilation and circulation support.")),
    ],
    "vague-word": [lambda: procedure(step("Set the flow to 4 L/min.", why=words("It is normal to see bubbles.")))],
    "condition-after-action": [lambda: procedure(step("If the line is full, open the clamp."))],
    "action-in-a-warning": [
        lambda: procedure(
            step("Open X.", warn=(warn(), warn(hazard="A shut vent traps air.", avoidance="Never run it dry.")))
        ),
        lambda: procedure(step("Open X.", warn=(warn(hazard="Air.", avoidance="Keep it shut."),))),
    ],
    "no-leading-verb": [
        lambda: procedure(step("If air is seen, open the clamp.")),
        lambda: procedure(step("Open the clamp.")),
        lambda: procedure(step("Make sure that X is open.")),
    ],
    "arithmetic-in-an-emergency": [
        lambda: procedure(step("Run for 3 x 20 s."), kind=Kind.ROUTINE),
        lambda: procedure(step("Open tap 3, and 4 L/min flow."), kind=Kind.EMERGENCY),
    ],
    "too-many-branches": [
        lambda: procedure(question(), question(), kind=Kind.EMERGENCY),
        lambda: procedure(question((question(),)), question(), question()),
    ],
    "too-many-immediate-actions": [
        lambda: procedure(Stage(title="At once", body=TEN[:3]), kind=Kind.EMERGENCY),
        lambda: procedure(Stage(title="First", body=TEN[:4])),
    ],
    "block-too-long": [
        lambda: procedure(*TEN[:9]),
        lambda: procedure(*TEN[:5], Hold(id="h1aa", title=(), until=(), agree=(), abort=()), *TEN[:5]),
    ],
    "deadline-without-a-way-out": [
        lambda: procedure(step("Open the clamp within 30 s.", missed=words("Stop."))),
        lambda: procedure(step("Open the clamp within reach.")),
    ],
    "warning-is-the-only-control": [
        lambda: procedure(step("Wait.", expect=LOOK), step("Open X.", warn=(warn(severity="fatal"),))),
        lambda: procedure(step("Open X.", warn=(warn(severity="fatal"),), confirm="other")),
        lambda: procedure(step("Open X.", warn=(warn(),))),
    ],
    "check-that-changes": [
        lambda: procedure(step("Check the clamp.", expect=LOOK)),
        lambda: procedure(step("Open X.", do=OPEN)),
    ],
    "figure-easily-misread": [
        lambda: procedure(step("Set 0.5 L/min at 10.05 bar, step 1.0.2.")),
        lambda: procedure(step("Give 500 units, 5 mL, in 5 min.")),
    ],
    "label-typed-by-hand": [lambda: procedure(step("Open the clamp."))],
    "line-too-long": [lambda: procedure(step("Open " + "very " * 18 + "slowly."))],
    "negative-line": [
        lambda: procedure(step("Wait.", warn=(warn(avoidance="Do not open it."),))),
        lambda: procedure(step("Push it in without a bubble.")),
    ],
    "no-completion-call": [lambda: procedure(step("Wait."))],
    "reason-missing": [lambda: procedure(step("Wait.", confirm="other", why=words("Air rises.")))],
    "call-and-reply-alone": [lambda: procedure(step("Wait."), use=Use.CALL_AND_REPLY, people=("nurse", "other"))],
    "look-without-expectation": [lambda: procedure(step("Look at the return limb.", expect=LOOK))],
}


def found(entry: Procedure) -> set[str]:
    return {finding.rule for finding in writing_findings(Page(entry, RIG, UNIT))}


def cases(table: dict[str, list[Callable[[], Procedure]]]) -> list[tuple[str, Callable[[], Procedure]]]:
    return [(name, make) for name, makers in table.items() for make in makers]


@pytest.mark.parametrize(("name", "make"), cases(BREAKS))
def test_a_text_that_breaks_it_is_found(name: str, make: Callable[[], Procedure]) -> None:
    assert name in found(make())


@pytest.mark.parametrize(("name", "make"), cases(KEEPS))
def test_a_text_that_keeps_it_is_left_alone(name: str, make: Callable[[], Procedure]) -> None:
    assert name not in found(make())


def test_every_rule_has_both() -> None:
    assert {rule.name for rule in RULES} == set(BREAKS) == set(KEEPS)


def test_names_and_codes_are_its_own_and_every_rule_has_a_source() -> None:
    assert len({rule.name for rule in RULES}) == len({rule.code for rule in RULES}) == len(RULES)
    assert all(rule.source and rule.mark and rule.summary.endswith(".") for rule in RULES)


def test_a_finding_names_step_and_mend() -> None:
    finding = writing_findings(Page(procedure(step("Set .5 L/min.")), RIG, UNIT))[0]
    assert (finding.step, finding.code) == ("a1bc", "SW323")
    assert finding.mend == "Write 0.5, not .5."
