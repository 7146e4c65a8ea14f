"""A waiver: a rule that a unit knowingly does not follow in one place, until a day."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from stepwell.diagnostics.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """``rule`` is not answered for in ``procedure`` (at ``step`` alone, if one is named), up to and including ``until``.

    ``by`` is the role that answers for it. A rule of the core can't be waived. A waiver never changes a verdict: the
    unsafe order is still found and shown, only the exit code does not count it.
    """

    rule: str
    procedure: str
    reason: str
    by: str
    until: date
    step: str | None = None
    path: str = ""
    span: Span | None = field(default=None, compare=False)

    def expired(self, as_of: date) -> bool:
        """True if its last day is over."""
        return as_of > self.until
