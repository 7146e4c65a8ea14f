"""A place in a source file."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Span:
    """From (line, column) up to but not including (end_line, end_column); all counted from 1.

    ``path`` is as the user would type it: relative to the folder the tool was started in where possible.
    """

    path: str
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"
