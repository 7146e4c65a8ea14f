"""The workbench on which a verb writes: a state being changed by one action."""

from __future__ import annotations

from stepwell.circuit.layout import Layout, State
from stepwell.circuit.settle import Event, settle
from stepwell.circuit.view import View
from stepwell.model.procedure import Action
from stepwell.model.quantity import Quantity
from stepwell.model.tri import Tri
from stepwell.quantities.units import to


class Bench:
    """Reads and writes the variables of parts by name. ``view`` shows the state as it was before the action."""

    def __init__(self, layout: Layout, state: State, view: View) -> None:
        self.layout = layout
        self.view = view
        self.values = list(state)
        self.seconds: float | None = None
        self.already: str = ""
        self.events: set[Event] = set()

    def word(self, part: str, name: str) -> str:
        """The word that a variable of a part has now."""
        number = self.layout.variable(part, name)
        return self.layout.variables[number].words[self.values[number]]

    def write(self, part: str, name: str, word: str) -> None:
        """Give a variable of a part the value called ``word``."""
        number = self.layout.variable(part, name)
        self.values[number] = self.layout.variables[number].words.index(word)

    def set_word(self, part: str, name: str, word: str, already: str) -> None:
        """Like ``write``, noting ``already`` (a sentence) where the part is so already: the run goes on."""
        if self.word(part, name) == word:
            self.already = already
        self.write(part, name, word)

    def number(self, part: str, name: str) -> int:
        """The number that a variable of a part has now (contents, speed, mate, cycles)."""
        return self.values[self.layout.variable(part, name)]

    def write_number(self, part: str, name: str, value: int) -> None:
        """Give such a variable a value."""
        self.values[self.layout.variable(part, name)] = value

    def label(self, part: str) -> str:
        """What people call the part."""
        return self.layout.labels.get(part, part)

    def happens(self, kind: str, part: str, certainty: Tri) -> None:
        """Note an event that is the action itself and not what follows from it; one that is surely not so is left out."""
        if certainty is not Tri.NO:
            self.events.add(Event(kind, part, certainty))

    def settle(self) -> None:
        """Let what was written so far have its effect, for an action that passes through a state on its way."""
        settled = settle(self.layout, tuple(self.values))
        self.values = list(settled.state)
        self.events |= settled.events

    def lasts(self, action: Action) -> None:
        """Take the action's ``for`` as the time that passes while it is done."""
        stated = action.option("for")
        if isinstance(stated, Quantity):
            self.seconds = to(stated, "s")
