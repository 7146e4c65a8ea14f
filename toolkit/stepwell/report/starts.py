"""The states that a procedure may start from."""

from __future__ import annotations

from itertools import product

from stepwell.circuit.layout import Layout, State
from stepwell.circuit.settings import apply_settings, baseline_state
from stepwell.circuit.settle import settle
from stepwell.model.procedure import Procedure
from stepwell.model.rig import Setting

MOST_STARTS = 4096


def start_states(layout: Layout, procedure: Procedure) -> tuple[State, ...]:
    """Every combination of what ``starts`` leaves open, settled. A procedure without ``starts`` starts at the defaults."""
    starts = procedure.starts
    state = layout.defaults
    if starts is None:
        return (settle(layout, state).state,)
    for baseline in layout.rig.baselines:
        if baseline.name == starts.baseline:
            state = baseline_state(layout, baseline)
    state = apply_settings(layout, state, starts.settings)
    ways = [tuple(Setting(part=part, word=word) for word in words) for part, words in starts.open_settings]
    found: dict[State, None] = {}
    for choice in product(*ways):
        found.setdefault(settle(layout, apply_settings(layout, state, choice)).state)
        if len(found) > MOST_STARTS:
            raise ValueError(f"{procedure.id} leaves more than {MOST_STARTS} starts open")
    return tuple(found)
