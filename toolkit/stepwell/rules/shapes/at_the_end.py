"""*at the end*: what must be so where the card ends, and at the derived hand-over."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Failing, evaluate, failing_literals
from stepwell.rules.ground import Ask, Ground
from stepwell.rules.shapes.moment import SILENT, Moment, Watched, may_hold


@dataclass(frozen=True, slots=True)
class AtTheEndWatcher:
    """Fires where a card ends, or something is handed over, and ``require`` is not surely true."""

    when: Ground
    require: Ground

    def predicates(self) -> tuple[Ground, ...]:
        """Context and good state."""
        return (self.when, self.require)

    def watch(self, moment: Moment, memory: int) -> Watched:
        """Look only where the action hands over."""
        return self.finish(moment.after, memory) if moment.handed_over else SILENT

    def finish(self, ask: Ask, memory: int) -> Watched:
        """Look at the last state."""
        if not may_hold(self.when, ask):
            return SILENT
        return Watched(0, evaluate(self.require, ask) is not Tri.YES, True)

    def failing(self, moment: Moment) -> tuple[Failing, ...]:
        """What is not surely so."""
        return failing_literals(self.require, moment.after, Tri.YES)
