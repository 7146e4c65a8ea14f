"""What a step says against what it does."""

from __future__ import annotations

import re

import pytest

from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import (
    Action,
    Condition,
    Expectation,
    Kind,
    PartName,
    Procedure,
    Reading,
    Sight,
    Step,
    Text,
    Use,
    Words,
)
from stepwell.rules.words_and_actions import CODE, NAME, words_and_actions

from .bench import RIG


def words(text: str) -> Words:
    """``"Open {vent}."`` as the loader reads it."""
    runs = re.split(r"(\{[a-z-]+\})", text)
    return tuple(PartName(run[1:-1]) if run.startswith("{") else Text(run) for run in runs if run)


def do(verb: str, *parts: str) -> Action:
    return Action(verb=verb, parts=parts)


def found(
    say: str, *actions: Action, expect: tuple[Expectation, ...] = (), at_once: bool = False, anyway: bool = False
) -> list[str]:
    """The messages about one step; ``anyway`` puts a harmless step with an action beside it."""
    step = Step(id="a1bc", who="one", say=words(say), do=actions, expect=expect, at_once=at_once)
    other = Step(id="d2ef", who="one", say=words("Stop {pump}."), do=(do("stop", "pump"),))
    procedure = Procedure(
        id="p",
        title="P",
        version="1",
        kind=Kind.ROUTINE,
        rig="bench",
        use=Use.READ_AND_DO,
        use_when=(),
        do_not_use_when=(),
        people=("one",),
        fewest_people=1,
        kit=(),
        starts=None,
        ends=(),
        cautions=(),
        sources=(),
        done_call=(),
        body=(step, other) if anyway else (step,),
    )
    findings = words_and_actions(procedure, RIG)
    assert all((one.rule, one.code, one.step, bool(one.mend)) == (NAME, CODE, "a1bc", True) for one in findings)
    return [one.message for one in findings]


@pytest.mark.parametrize(
    ("say", "actions"),
    [
        ("Open {vent}.", [do("open", "vent")]),
        ("Uncover {vent}.", [do("open", "vent")]),
        ("UNCOVER {vent}.", [do("open", "vent")]),
        ("Open {clamp} and {side-clamp}.", [do("open", "clamp"), do("open", "side-clamp")]),
        ("Open {clamp} and shut {side-clamp}.", [do("open", "clamp"), do("shut", "side-clamp")]),
        ("Shut {clamp}, then wait.", [do("shut", "clamp"), do("wait")]),
        ("Shut {clamp}.", [do("shut", "clamp"), do("wait")]),
        ("Shut both clamps.", [do("shut", "clamp"), do("shut", "side-clamp")]),
        ("Zero all pressure sensors.", [do("zero", "first"), do("zero", "second"), do("zero", "third")]),
    ],
)
def test_words_that_say_what_is_done(say: str, actions: list[Action]) -> None:
    assert found(say, *actions) == []


def test_a_part_that_is_named_and_not_touched() -> None:
    assert found("Open {vent} and {clamp}.", do("open", "vent")) == [
        "The words say “open … the clamp”, but the step neither does anything to it nor expects anything of it."
    ]


def test_a_part_that_is_only_named() -> None:
    assert found("With {bag} in sight, open {vent}.", do("open", "vent")) == [
        "The words name the bag, but the step neither does anything to it nor expects anything of it."
    ]


def test_an_instruction_without_any_action() -> None:
    [message] = found("Open {vent}.", anyway=True)
    assert message.startswith("The words say “open … the vent”")


def test_a_part_that_is_done_and_not_named() -> None:
    assert found("Open {vent}.", do("open", "vent"), do("open", "clamp")) == [
        "The step opens the clamp, but the words do not name the clamp."
    ]


def test_all_of_them_covers_only_several_of_a_kind() -> None:
    assert found("Open {vent}, all the way.", do("open", "vent"), do("open", "clamp")) == [
        "The step opens the clamp, but the words do not name the clamp."
    ]


def test_a_verb_that_the_words_do_not_use() -> None:
    assert found("Attend to {vent}.", do("open", "vent")) == ["The step opens the vent, but the words do not say so."]


def test_a_verb_that_the_words_contradict() -> None:
    assert found("Shut {vent}.", do("open", "vent")) == ["The step opens the vent, but the words do not say so."]


def test_two_verbs_that_are_swapped() -> None:
    swapped = found("Open {clamp} and shut {side-clamp}.", do("shut", "clamp"), do("open", "side-clamp"))
    assert swapped == [
        "The words say “open … the clamp”, but the step shuts the clamp.",
        "The words say “shut … the side clamp”, but the step opens the side clamp.",
    ]


def test_one_word_may_stand_for_a_movement_done_at_once() -> None:
    actions = (do("shut", "clamp"), do("stop", "pump"))
    assert found("Clamp {clamp} as {pump} runs down.", *actions, at_once=True) == []
    assert found("Clamp {clamp} as {pump} runs down.", *actions) == [
        "The step stops the pump, but the words do not say so.",
    ]


@pytest.mark.parametrize(
    "expected",
    [
        Condition(predicate=Fact("filled", (Ref("oxygenator"),))),
        Reading(part="oxygenator"),
        Sight(words=words("no drop at {oxygenator}")),
    ],
)
def test_a_part_that_is_only_looked_at(expected: Expectation) -> None:
    assert found("Open {vent} until {oxygenator} is full.", do("open", "vent"), expect=(expected,)) == []


def test_a_step_that_only_looks_needs_no_action() -> None:
    seen = Sight(words=words("no bubbles"))
    assert found("Follow {line} from end to end.", expect=(seen,), anyway=True) == []


def test_looking_does_not_excuse_an_instruction() -> None:
    seen = Sight(words=words("no bubbles"))
    assert len(found("Open {vent} and look.", expect=(seen,), anyway=True)) == 1


def test_wording_only_is_left_alone() -> None:
    assert found("Open {vent}.") == []


@pytest.mark.parametrize("say", ["Turn {gas} off.", "Turn off {gas}.", "Switch {gas} off at the blender."])
def test_the_little_word_says_the_opposite(say: str) -> None:
    (told,) = found(say, do("gas-on", "gas"))
    assert told.startswith("The words say “off”, but the step turns the gas on")


@pytest.mark.parametrize(
    ("say", "verb"),
    [
        ("Turn {gas} on.", "gas-on"),
        ("Turn {gas} off.", "gas-off"),
        ("Turn {gas} on at the wall and the other off.", "gas-on"),
        ("Close {gas} on the blender.", "gas-off"),
        ("Set {gas} on the blender to nothing and turn it off.", "gas-off"),
    ],
)
def test_the_little_word_fits(say: str, verb: str) -> None:
    assert found(say, do(verb, "gas")) == []
