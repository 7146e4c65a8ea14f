"""A line with a deadline says what to do when it has passed."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule

_WITHIN = re.compile(r"\b(?:within|no later than|in less than|at most)\s+(?:\d|0)", re.I)


def look(page: Page) -> Iterator[Seen]:
    """Lines that set a time limit in words and have no ``missed``."""
    for step in page.steps:
        if _WITHIN.search(page.bare(step.say)) and not step.missed:
            yield Seen(
                message="The line has a deadline, and does not say what to do when it has passed.",
                mend="Add `missed`.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="deadline-without-a-way-out",
    code="SW320",
    summary="A line with a deadline does not say what to do when the deadline is missed.",
    source="DOE-STD-1029-92",
    mark="primary text",
    look=look,
)
