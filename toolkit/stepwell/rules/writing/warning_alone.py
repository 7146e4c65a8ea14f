"""Information alone is the weakest control."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule


def look(page: Page) -> Iterator[Seen]:
    """Warnings of a fatal harm on lines that neither expect anything nor are confirmed, and follow no such line."""
    for before, step in zip((None, *page.steps), page.steps, strict=False):
        fatal = any(warn.severity == "fatal" for warn in step.warn)
        guarded = step.expect or step.confirm or (before is not None and (before.expect or before.confirm))
        if fatal and not guarded:
            yield Seen(
                message="A warning is all that keeps something fatal away: nothing is looked at, before or at the line.",
                mend="Add an `expect` or a `confirm`, here or on the line before.",
                step=step.id,
                span=step.span,
            )


RULE = WritingRule(
    name="warning-is-the-only-control",
    code="SW321",
    summary="A fatal harm is kept away by a warning and nothing else.",
    source="ISO 14971 7.1: information for safety is the weakest control",
    mark="quoted by others; from memory",
    look=look,
)
