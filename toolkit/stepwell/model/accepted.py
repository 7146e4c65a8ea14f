"""A finding that the unit has seen and lives with, so that only new ones are shown."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from stepwell.diagnostics.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """A rule of writing at a step (or at the procedure as a whole), accepted on a day by a role. No line: lines move."""

    rule: str
    procedure: str
    step: str | None
    on: date
    by: str
    span: Span | None = field(default=None, compare=False)
