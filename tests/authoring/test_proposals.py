"""Proposals of an import: hardly ever wrong, never the opposite, and none where a line means no action."""

from __future__ import annotations

import pytest

from stepwell.authoring.proposals import propose
from tests.authoring.proposals.__main__ import lines, measure, rigs


@pytest.mark.parametrize(("name", "recall"), [("sentences", 0.95), ("kept_back", 0.8)])
def test_proposals_are_right_and_most_actions_are_found(name: str, recall: float) -> None:
    found = lines(name)
    result = measure(found)
    assert sum(not line.wanted for line in found) >= 0.3 * len(found)
    assert result.precision >= 0.98, result.wrong
    assert result.recall >= recall, result.missed


@pytest.mark.parametrize(
    ("say", "rig", "verb"),
    [
        ("Turn the sweep gas off", "adult-va", "gas-off"),
        ("Turn on the sweep gas", "adult-va", "gas-on"),
        ("Switch the heater water off.", "adult-bedside", "stop-water"),
        ("Switch the heater water on.", "adult-bedside", "run-water"),
        ("Turn the oxygen cylinder off", "adult-va", "shut"),
        ("Turn the carbon dioxide line off", "adult-bedside", "flush-off"),
    ],
)
def test_on_is_never_taken_for_off(say: str, rig: str, verb: str) -> None:
    made = propose(say, rigs()[rig])
    assert made is not None
    assert [action.verb for action in made.actions] == [verb]


@pytest.mark.parametrize(
    "say",
    [
        "Open the prime clamp and look at the return clamp.",
        "Clamp the return clamp if air is seen.",
        "Stop the pump and move the frobnicator.",
        "Turn the prime clamp.",
    ],
)
def test_what_is_not_understood_adds_nothing(say: str) -> None:
    made = propose(say, rigs()["adult-bedside"])
    parts = [part for action in (made.actions if made else ()) for part in action.parts]
    assert "return-clamp" not in parts
    assert made is None or len(made.actions) == 1
