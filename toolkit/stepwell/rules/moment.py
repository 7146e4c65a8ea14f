"""What a rule is shown of one action, and what it answers."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

from stepwell.model.predicate import Predicate, Ref
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask, evaluate

Memory: TypeAlias = Hashable
"""What a rule remembers of a run. It is a part of the state that is searched, so it must be small; ``NEW`` at the start."""

NEW: Memory = 0


class Pause(NamedTuple):
    """Something on the way that is no action, such as a step at which people only look: its time in seconds.

    ``most`` None: it states none, or it is not sure that it comes.
    """

    name: str
    least: float
    most: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One action (or several at once): what was done, and the states just before and after.

    For an action that was ``refused`` ``after`` is ``before``. ``handed_over``: this action was the first to join the
    circuit to a patient. ``who`` did it, as a part of ``step``; ``seconds`` is the time it states (``for``), 0 if none.
    ``takes`` is what the whole step states (least, most seconds), of which this action is the ``first`` or ``last``;
    ``pauses`` are all that may have come before it and are no actions.
    """

    done: tuple[tuple[str, tuple[str, ...]], ...]
    before: Ask
    after: Ask
    handed_over: bool = False
    refused: bool = False
    who: str = ""
    step: str = ""
    seconds: float = 0.0
    takes: tuple[float, float] | None = None
    first: bool = True
    last: bool = True
    pauses: tuple[Pause, ...] = ()

    def did(self, verb: str, part: Ref | None) -> bool:
        """True if ``verb`` was done to the part (None: to anything)."""
        return any(name == verb and (part is None or part.name in parts) for name, parts in self.done)


class Watched(NamedTuple):
    """``exercised``: the rule had something to look at; ``violated``: and it was not surely in order.

    ``undecided`` says what stands in the way of a decision (a step that states no time); empty if nothing does.
    """

    violated: bool
    exercised: bool
    memory: Memory = NEW
    undecided: str = ""


QUIET = Watched(False, False)


def may_hold(context: Predicate, ask: Ask) -> bool:
    """A context that may hold counts as held."""
    return evaluate(context, ask) is not Tri.NO
