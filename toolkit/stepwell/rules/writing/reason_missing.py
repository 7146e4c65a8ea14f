"""One line of reason beside a critical step."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule


def look(page: Page) -> Iterator[Seen]:
    """Lines that a second person confirms, without a reason or a warning beside them."""
    for step in page.steps:
        if step.confirm and not step.why and not step.warn:
            yield Seen(
                message="Two people are asked to mind this line, and neither is told why.",
                mend="Add one line of `why`.",
                step=step.id,
                span=step.span,
            )


RULE = WritingRule(
    name="reason-missing",
    code="SW328",
    summary="A line that two people mind has no reason beside it.",
    source="Cao 2019: adherence rose from 44 to 68 per cent (n = 60)",
    mark="abstract",
    look=look,
)
