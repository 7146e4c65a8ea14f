"""What a shape gets to see of a run, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple, Protocol

from stepwell.model.procedure import Action
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Failing, evaluate
from stepwell.rules.ground import Ask, Ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One transition of a run: the state before, what was done, the state after.

    ``actions`` holds one action, or those that one person does at once. For a refused action ``after`` is ``before``.
    ``handed_over``: the transition is a derived hand-over (first join to a patient's end, crossing to the sterile field).
    """

    before: Ask
    after: Ask
    actions: tuple[Action, ...]
    handed_over: bool = False


class Watched(NamedTuple):
    """``memory`` is what the rule remembers from here on, a small int; ``exercised``: its context and trigger occurred."""

    memory: int
    violated: bool
    exercised: bool


SILENT = Watched(0, False, False)


class Watcher(Protocol):
    """A rule bound to parts of a rig, watching a run. Stateless: what it remembers is handed in and out, 0 at the start."""

    def predicates(self) -> tuple[Ground, ...]:
        """Every predicate it evaluates."""

    def watch(self, moment: Moment, memory: int) -> Watched:
        """Look at one transition."""

    def finish(self, ask: Ask, memory: int) -> Watched:
        """Look at the state in which the card ends."""

    def failing(self, moment: Moment) -> tuple[Failing, ...]:
        """The literals that made it fire at ``moment``; at the end of a card ``after`` is the last state."""


def may_hold(context: Ground, ask: Ask) -> bool:
    """A context that may hold counts as held."""
    return evaluate(context, ask) is not Tri.NO


def done_to(actions: tuple[Action, ...], verb: str, parts: tuple[str, ...] | None) -> bool:
    """True if one of ``actions`` is ``verb`` on one of ``parts`` (None: on anything)."""
    return any(action.verb == verb and (parts is None or bool(set(parts) & set(action.parts))) for action in actions)
