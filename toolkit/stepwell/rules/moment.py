"""What a rule is shown of one action, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from stepwell.rules.evaluate import Ask


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One action (or several at once): what was done, and the states just before and after.

    ``handed_over``: this action was the first to join the circuit to a patient.
    """

    done: tuple[tuple[str, tuple[str, ...]], ...]
    before: Ask
    after: Ask
    handed_over: bool = False


class Watched(NamedTuple):
    """``exercised``: the rule had something to look at; ``violated``: and it was not surely in order."""

    violated: bool
    exercised: bool
    memory: int = 0


QUIET = Watched(False, False)
