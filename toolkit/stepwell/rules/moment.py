"""What a rule is shown of one action, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from stepwell.model.predicate import Predicate, Ref
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask, evaluate


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One action (or several at once): what was done, and the states just before and after.

    For an action that was refused ``after`` is ``before``. ``handed_over``: this action was the first to join the
    circuit to a patient.
    """

    done: tuple[tuple[str, tuple[str, ...]], ...]
    before: Ask
    after: Ask
    handed_over: bool = False

    def did(self, verb: str, part: Ref | None) -> bool:
        """True if ``verb`` was done to the part (None: to anything)."""
        return any(name == verb and (part is None or part.name in parts) for name, parts in self.done)


class Watched(NamedTuple):
    """``exercised``: the rule had something to look at; ``violated``: and it was not surely in order."""

    violated: bool
    exercised: bool
    memory: int = 0


QUIET = Watched(False, False)


def may_hold(context: Predicate, ask: Ask) -> bool:
    """A context that may hold counts as held."""
    return evaluate(context, ask) is not Tri.NO
