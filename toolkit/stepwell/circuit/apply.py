"""Doing one action to a state: refusal, effect, settling."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stepwell.circuit.bench import Bench
from stepwell.circuit.equipment import packed_away
from stepwell.circuit.layout import Layout, State
from stepwell.circuit.settle import Event, settle
from stepwell.circuit.verb_table import verb
from stepwell.circuit.view import View
from stepwell.model.procedure import Action


class Done(NamedTuple):
    """``state`` is None where the action can't be done, and ``refused`` says why; ``already`` notes what was so before."""

    state: State | None
    events: frozenset[Event]
    refused: str
    already: str


def do(layout: Layout, state: State, actions: Sequence[Action]) -> Done:
    """Do actions that one person does at once; the circuit settles after the last of them."""
    seconds: float | None = None
    already = ""
    events: set[Event] = set()
    here = state
    for action in actions:
        entry = verb(action.verb)
        if entry is None:
            raise KeyError(action.verb)
        bench = Bench(layout, here, View(layout, here))
        refused = packed_away(bench, action.parts) or entry.effect(bench, action)
        if refused is not None:
            return Done(None, frozenset(), refused, "")
        here = tuple(bench.values)
        events |= bench.events
        already = already or bench.already
        if bench.seconds is not None:
            seconds = max(seconds or 0.0, bench.seconds)
    settled = settle(layout, here, seconds)
    return Done(settled.state, settled.events | events, "", already)
