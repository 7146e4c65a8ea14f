"""Call and reply needs two."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.procedure import Use
from stepwell.rules.writing.page import Page, Seen, WritingRule


def look(page: Page) -> Iterator[Seen]:
    """Procedures that are read by one person to another, with one person."""
    if page.procedure.use is Use.CALL_AND_REPLY and len(page.procedure.people) < 2:
        yield Seen(
            message="The card is used as call and reply, but only one person is named.",
            mend="Name the second person in `people`, or use read-and-do.",
            span=page.procedure.span,
        )


RULE = WritingRule(
    name="call-and-reply-alone",
    code="SW329",
    summary="A card that is called out and replied to names one person.",
    source="From memory",
    mark="from memory",
    look=look,
)
