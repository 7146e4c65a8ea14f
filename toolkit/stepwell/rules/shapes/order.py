"""*order*: one action only after another."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.rules.evaluate import Failing
from stepwell.rules.ground import Ask, Ground
from stepwell.rules.shapes.moment import SILENT, Moment, Watched, done_to, may_hold

Deed = tuple[str, tuple[str, ...] | None]
"""A verb and the parts of which one must be among the action's parts (None: any)."""

_FIRST_DONE = 1


@dataclass(frozen=True, slots=True)
class OrderWatcher:
    """Fires where ``then`` is done before ``first`` has been done in the run. Both at once count as in order.

    ``when`` is looked at before ``then``; ``first`` counts in any context.
    """

    when: Ground
    first: Deed
    then: Deed

    def predicates(self) -> tuple[Ground, ...]:
        """The context only."""
        return (self.when,)

    def watch(self, moment: Moment, memory: int) -> Watched:
        """Remember ``first``, judge ``then``."""
        memory = _FIRST_DONE if memory or done_to(moment.actions, *self.first) else 0
        exercised = done_to(moment.actions, *self.then) and may_hold(self.when, moment.before)
        return Watched(memory, exercised and not memory, exercised)

    def finish(self, ask: Ask, memory: int) -> Watched:
        """What was never done can't be late."""
        return SILENT

    def failing(self, moment: Moment) -> tuple[Failing, ...]:
        """An action that was not done has no literals."""
        return ()
