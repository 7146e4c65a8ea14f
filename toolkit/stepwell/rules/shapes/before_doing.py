"""*before doing*: what must be so just before somebody does something."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Failing, evaluate, failing_literals
from stepwell.rules.ground import Ask, Ground
from stepwell.rules.shapes.moment import SILENT, Moment, Watched, done_to, may_hold


@dataclass(frozen=True, slots=True)
class BeforeDoingWatcher:
    """Fires where ``verb`` is done to one of ``parts`` (None: to anything) and ``require`` was not surely true before."""

    when: Ground
    verb: str
    parts: tuple[str, ...] | None
    require: Ground

    def predicates(self) -> tuple[Ground, ...]:
        """Context and precondition."""
        return (self.when, self.require)

    def watch(self, moment: Moment, memory: int) -> Watched:
        """Look at the state before the action; the action's own effects do not count."""
        if not done_to(moment.actions, self.verb, self.parts) or not may_hold(self.when, moment.before):
            return SILENT
        return Watched(0, evaluate(self.require, moment.before) is not Tri.YES, True)

    def finish(self, ask: Ask, memory: int) -> Watched:
        """Ending is not doing."""
        return SILENT

    def failing(self, moment: Moment) -> tuple[Failing, ...]:
        """What was not surely so."""
        return failing_literals(self.require, moment.before, Tri.YES)
