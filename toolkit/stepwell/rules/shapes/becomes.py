"""*becomes*: something that follows from an action, whichever action brings it about."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.circuit.catalogue import fact
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Failing, evaluate, failing_literals
from stepwell.rules.ground import Ask, Ground
from stepwell.rules.shapes.moment import SILENT, Moment, Watched, may_hold


def _before_it_happened(ask: Ask) -> Ask:
    """Passing facts belong to the transition that led to a state, so before the next one none of them is so."""

    def answer(name: str, args: tuple[str, ...]) -> Tri:
        entry = fact(name)
        return Tri.NO if entry is not None and entry.passing else ask(name, args)

    return answer


@dataclass(frozen=True, slots=True)
class BecomesWatcher:
    """Fires where ``event`` was surely false before, may be true after, and ``unless`` was not surely true before.

    ``when`` is looked at after the action, together with the event.
    """

    when: Ground
    event: Ground
    unless: Ground

    def predicates(self) -> tuple[Ground, ...]:
        """Context, event and what permits it."""
        return (self.when, self.event, self.unless)

    def watch(self, moment: Moment, memory: int) -> Watched:
        """Look at both sides of the action."""
        if evaluate(self.event, moment.after) is Tri.NO or not may_hold(self.when, moment.after):
            return SILENT
        if evaluate(self.event, _before_it_happened(moment.before)) is not Tri.NO:
            return SILENT
        return Watched(0, evaluate(self.unless, moment.before) is not Tri.YES, True)

    def finish(self, ask: Ask, memory: int) -> Watched:
        """Nothing happens by ending."""
        return SILENT

    def failing(self, moment: Moment) -> tuple[Failing, ...]:
        """What should have been so beforehand, and where there is no such thing, what made the event."""
        missing = failing_literals(self.unless, moment.before, Tri.YES)
        return missing or failing_literals(self.event, moment.after, Tri.NO)
