"""A waiver: a rule that a unit knowingly does not follow in one place, or a slip that it lives with, until a day."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from stepwell.diagnostics.span import Span
from stepwell.model.slip import Sort


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """``rule`` is not answered for in ``procedure`` (at ``step`` alone, if one is named), up to and including ``until``.

    ``by`` is the role that answers for it. A rule of the core can't be waived. A waiver never changes a verdict: the
    unsafe order is still found and shown, only the exit code does not count it.

    With ``slip`` it says nothing of the orders of the card. It answers for the harm of ``rule`` that nobody would notice
    if ``step`` went wrong in this way; that may be a rule of the core, for nobody is told to do it.
    """

    rule: str
    procedure: str
    reason: str
    by: str
    until: date
    step: str | None = None
    slip: Sort | None = None
    path: str = ""
    span: Span | None = field(default=None, compare=False)
    until_span: Span | None = field(default=None, compare=False)

    def expired(self, as_of: date) -> bool:
        """True if its last day is over."""
        return as_of > self.until
