"""Clamps that are partly shut: the way stays open, and how much flows there and at what pressure is not known."""

from __future__ import annotations

from collections.abc import Mapping

from stepwell.circuit.layout import THROTTLED, Layout, State

VALUES_OF_FLOW = frozenset(
    {
        "above-air",
        "air-entered",
        "air-to-patient",
        "below-air",
        "flow",
        "hammered",
        "may-run-empty",
        "reversed",
        "spilled",
    }
)
"""Facts that depend on a flow or a pressure: a rule that needs one is not decided while a clamp is throttled."""


def throttled(layout: Layout, state: State) -> tuple[int, ...]:
    """The variables of the clamps that are partly shut."""
    return tuple([clamp for clamp in layout.clamps if state[clamp] == THROTTLED])


def with_clamps(layout: Layout, state: State, value: int) -> State:
    """The state with every throttled clamp open or shut instead."""
    changed = dict.fromkeys(throttled(layout, state), value)
    return tuple(changed.get(number, old) for number, old in enumerate(state))


def seen_with_clamps(layout: Layout, state: State, value: int) -> State:
    """The same for derivations, which do nothing with a state but index it."""
    return _Changed(state, dict.fromkeys(throttled(layout, state), value))  # type: ignore[return-value]  # see above


class _Changed:
    """A state with some values replaced."""

    __slots__ = ("_changed", "_state")

    def __init__(self, state: State, changed: Mapping[int, int]) -> None:
        self._state = state
        self._changed = changed

    def __getitem__(self, index: int) -> int:
        return self._changed[index] if index in self._changed else self._state[index]


def ways_through(layout: Layout, state: State) -> frozenset[tuple[int, int]]:
    """The (from, to) pairs, both ways round, of the gates that a throttled clamp stands in."""
    narrow = set(throttled(layout, state))
    gates = [gate for gate in layout.gates if narrow and any(need.variable in narrow for need in gate.needs)]
    return frozenset(way for gate in gates for way in ((gate.a, gate.b), (gate.b, gate.a)))
