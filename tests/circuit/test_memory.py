"""What is remembered of a state is what would be derived from it anew."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice, product
from random import Random
from typing import Any

import pytest

from stepwell.circuit.apply import do
from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.entry import FactEntry
from stepwell.circuit.fact_table import FACTS
from stepwell.circuit.filling import filling
from stepwell.circuit.hydraulics import hydraulics
from stepwell.circuit.layout import State
from stepwell.circuit.links import every_link, open_links
from stepwell.circuit.memory import MOST, looked_up
from stepwell.circuit.settle import settle
from stepwell.circuit.view import View
from tests.demo import rig, workspace
from tests.report.test_against_all_orders import CHOICES, START

LAYOUT = compile_rig(rig())


def test_remembered_equals_derived_anew() -> None:
    random = Random(7)
    state = START
    distinct = set()
    for _ in range(800):
        done = do(LAYOUT, START if random.random() < 0.1 else state, (random.choice(CHOICES),))
        state = state if done.state is None else done.state
        fresh = replace(LAYOUT)
        assert not fresh.memory, "a copied layout must not take over what was remembered of another"
        ignored = ("return-clamp",) if random.random() < 0.3 else ()
        assert open_links(LAYOUT, state, ignore=ignored) == open_links(fresh, state, ignore=ignored)
        assert every_link(LAYOUT, state) == every_link(fresh, state)
        assert hydraulics(LAYOUT, state) == hydraulics(fresh, state)
        assert filling(LAYOUT, state) == filling(fresh, state)
        seconds = random.choice((None, 5.0, 600.0))
        disturbed = tuple(value if random.random() < 0.97 else 1 - value % 2 for value in state)
        assert settle(LAYOUT, disturbed, seconds) == settle(fresh, disturbed, seconds)
        distinct.add(filling(LAYOUT, state))
    assert len(distinct) >= 8, "too few different results to mean anything"


def test_only_what_was_looked_at_tells_states_apart() -> None:
    layout, calls = replace(LAYOUT), [0]

    def work(state: State) -> int:
        calls[0] += 1
        return state[0] + state[2] if state[1] else state[0]

    for state in ((1, 0, 5), (1, 0, 6), (1, 1, 5), (1, 1, 6), (2, 0, 5), (1, 1, 5)):
        expected = state[0] + state[2] if state[1] else state[0]
        assert looked_up(layout, "test", state, work) == expected
    assert calls[0] == 4


def test_a_derivation_that_takes_the_state_whole_fails_at_once() -> None:
    with pytest.raises(TypeError):
        looked_up(replace(LAYOUT), "test", (1, 2), lambda state: len(state))


class Looks:
    """A state that can do nothing but be looked at by index."""

    def __init__(self, state: State) -> None:
        self.state = state

    def __getitem__(self, index: int) -> int:
        return self.state[index]


@pytest.mark.parametrize("entry", FACTS, ids=lambda entry: entry.name)
def test_what_any_fact_looks_at_can_be_remembered(entry: FactEntry) -> None:
    """For what rules say is remembered so, and a rule may ask any fact."""
    asked = 0
    for here in workspace().rigs:
        layout = compile_rig(here)
        choices = [
            arg.choices or tuple(p.id for p in here.parts if not arg.kinds or p.kind in arg.kinds) for arg in entry.args
        ]
        looks: Any = Looks(layout.defaults)
        for args in islice(product(*choices), 40):
            plain, seen = View(layout, layout.defaults), View(layout, looks)
            try:
                expected = entry.evaluate(plain, args)
            except KeyError as error:  # a part that the fact's other argument does not fit
                with pytest.raises(KeyError, match=str(error.args[0])):
                    entry.evaluate(seen, args)
                continue
            assert entry.evaluate(seen, args) is expected
            asked += 1
    assert asked


def test_the_memory_is_bounded() -> None:
    layout = replace(LAYOUT)
    for number in range(MOST + 10):
        assert looked_up(layout, "test", (number,), lambda state: -state[0]) == -number
    assert layout.memory["test"].leaves == 10
