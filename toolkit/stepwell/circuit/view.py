"""One state of the circuit as facts see it, with what led to it."""

from __future__ import annotations

from functools import cached_property

from stepwell.circuit.hydraulics import Hydraulics, contents_of, hydraulics
from stepwell.circuit.layout import Layout, State
from stepwell.circuit.settle import Event


class View:
    """Read-only. ``events`` are those of the action that led here; empty at a start."""

    def __init__(self, layout: Layout, state: State, events: frozenset[Event] = frozenset()) -> None:
        self.layout = layout
        self.state = state
        self.events = events

    @cached_property
    def water(self) -> Hydraulics:
        """Flow and pressure of this state, computed once."""
        return hydraulics(self.layout, self.state)

    def value(self, part: str, name: str) -> int:
        """The value of a part's variable."""
        return self.state[self.layout.variable(part, name)]

    def word(self, part: str, name: str) -> str:
        """The word of a part's variable."""
        number = self.layout.variable(part, name)
        return self.layout.variables[number].words[self.state[number]]

    def contents(self, space: str) -> int:
        """The contents mask of a space named by its part (or ``bag.headspace``)."""
        return contents_of(self.layout, self.state, self.layout.space_of[space])
