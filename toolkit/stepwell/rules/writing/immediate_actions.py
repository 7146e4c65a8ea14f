"""What is done at once is short."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.procedure import Stage, steps_of
from stepwell.rules.writing.page import Page, Seen, WritingRule

MOST = 3


def look(page: Page) -> Iterator[Seen]:
    """Emergency cards whose first block has more than three lines."""
    first = next(iter(page.procedure.body), None)
    if page.emergency and isinstance(first, Stage) and len(steps_of(first.body)) > MOST:
        extra = steps_of(first.body)[MOST]
        yield Seen(
            message=f"The first block has {len(steps_of(first.body))} lines; at most {MOST} are done without being lost.",
            mend="Begin a second block before this line.",
            step=extra.id,
            span=extra.span,
        )


RULE = WritingRule(
    name="too-many-immediate-actions",
    code="SW318",
    summary="The boxed block of an emergency card has more than three lines.",
    source="CAP 676 2.6: fewer than four items",
    mark="quoted by others",
    look=look,
)
