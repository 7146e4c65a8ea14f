"""*never*: a state that must be ruled out after every action."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Failing, evaluate, failing_literals
from stepwell.rules.ground import Ask, Ground
from stepwell.rules.shapes.moment import SILENT, Moment, Watched, may_hold


@dataclass(frozen=True, slots=True)
class NeverWatcher:
    """Fires where ``state`` is not surely false and ``when`` may hold."""

    when: Ground
    state: Ground

    def predicates(self) -> tuple[Ground, ...]:
        """Context and state."""
        return (self.when, self.state)

    def watch(self, moment: Moment, memory: int) -> Watched:
        """Look at the state after the action."""
        if not may_hold(self.when, moment.after):
            return SILENT
        return Watched(0, evaluate(self.state, moment.after) is not Tri.NO, True)

    def finish(self, ask: Ask, memory: int) -> Watched:
        """Nothing new: the last state was looked at after its action."""
        return SILENT

    def failing(self, moment: Moment) -> tuple[Failing, ...]:
        """What keeps the state from being ruled out."""
        return failing_literals(self.state, moment.after, Tri.NO)
