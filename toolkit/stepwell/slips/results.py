"""What single slips lead to, as values."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from stepwell.diagnostics.severity import Severity
from stepwell.model.slip import Sort


class Outcome(StrEnum):
    """What a slip leads to over all orders."""

    HARMLESS = "harmless"
    """No rule is violated and nothing notices (see ``Slip.misses_end``)."""
    STOPPED = "stopped"
    """A later action becomes impossible."""
    CAUGHT = "caught"
    """Another step's expectation, a hold or a question is not met."""
    ONLY_CATCH = "only catch"
    """Of a skipped check alone: harmless in itself, but nothing else notices some other slip."""
    SILENT = "silent harm"
    """Some order violates a rule, and nothing in that order noticed before."""
    UNDECIDED = "undecided"
    """The search was stopped before its end, or the order of the slip could not be compiled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One sort of slip at one step: the worst of its variants.

    ``detail`` tells the variant; ``where`` is the step or hold at which it is stopped, caught or does harm (None: at
    the end of the card). ``rule``, ``code`` and ``severity`` are those of silent harm, the worst. ``misses_end``: some
    order ends where the card's own ``ends`` are not so, which nobody is told; past fatal harm this is not looked for.
    ``fatal``: a fatal rule is violated, or would be if nobody looked. ``harms`` are all fatal rules that some variant
    violates in silence, ``unconfirmed`` those of them that are met although the second roles at ``confirmed_by`` look.
    ``cut_short``: the search was stopped before its end, so there may be worse.
    """

    step: str
    sort: Sort
    outcome: Outcome
    detail: str = ""
    where: str | None = None
    rule: str | None = None
    code: str | None = None
    severity: Severity | None = None
    misses_end: bool = False
    fatal: bool = False
    harms: tuple[str, ...] = ()
    unconfirmed: tuple[str, ...] = ()
    confirmed_by: tuple[str, ...] = ()
    cut_short: bool = False

    @property
    def fatal_silent(self) -> bool:
        """True if it is fatal and nothing in the model catches it."""
        return self.outcome is Outcome.SILENT and self.severity is Severity.FATAL


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipReport:
    """All single slips of a procedure in the order of the page; ``critical`` are the steps with a silent fatal one.

    ``fatal_total`` counts the slips that are fatal if nobody looks, ``fatal_silent`` those of them that nothing in the
    model catches. Undecided slips are in neither.
    """

    procedure: str
    title: str
    steps: tuple[str, ...]
    """Ids in the order of the page, from which steps have their numbers."""
    slips: tuple[Slip, ...]
    critical: tuple[str, ...]
    fatal_silent: int
    fatal_total: int

    @property
    def undecided(self) -> int:
        """How many slips were not decided, or not to the end."""
        return sum(slip.outcome is Outcome.UNDECIDED or slip.cut_short for slip in self.slips)

    def slip(self, step: str, sort: Sort) -> Slip | None:
        """The slip of this sort at this step, or None if there is none."""
        return next((slip for slip in self.slips if slip.step == step and slip.sort is sort), None)
