"""At most twenty words."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule

MOST = 20


def look(page: Page) -> Iterator[Seen]:
    """Lines of more than twenty words, as printed."""
    for step in page.steps:
        count = len(page.text(step.say).split())
        if count > MOST:
            yield Seen(
                message=f"The line has {count} words; after {MOST} the beginning is forgotten.",
                mend="Part it, or move the reason to `why`.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="line-too-long",
    code="SW325",
    summary="A line has more than twenty words.",
    source="ASD-STE100 5.1",
    mark="quoted by others",
    look=look,
)
