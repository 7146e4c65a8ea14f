"""The last thing is said aloud."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule


def look(page: Page) -> Iterator[Seen]:
    """Procedures without a completion call."""
    if not page.procedure.done_call:
        yield Seen(
            message="Nobody says aloud that the procedure is done.",
            mend="Add `done-call`.",
            span=page.procedure.span,
        )


RULE = WritingRule(
    name="no-completion-call",
    code="SW327",
    summary="A procedure has no completion call.",
    source="Degani and Wiener 1990",
    mark="quoted by others",
    look=look,
)
