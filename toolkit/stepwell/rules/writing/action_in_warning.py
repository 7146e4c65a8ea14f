"""A warning warns; it is no step."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule, words_of
from stepwell.rules.writing.verbs import ACTING, LOOKING, TELLING

_KEEPS = {"do", "never", "keep", "leave"}
"""Beginnings that forbid, or hold things as they are."""


def look(page: Page) -> Iterator[Seen]:
    """Warnings of which a part begins with an order to do something."""
    for step in page.steps:
        for warn in step.warn:
            for what, words in (("hazard", warn.hazard), ("consequence", warn.consequence), ("avoidance", warn.avoidance)):
                first = next(iter(words_of(page.bare(words))), "")
                if first in (ACTING | LOOKING | TELLING) - _KEEPS:
                    yield Seen(
                        message=f"The {what} of a warning orders an action (“{first} ...”); what is boxed off is skipped.",
                        mend="Make a step of it, and say here what not to do.",
                        step=step.id,
                        span=warn.span,
                    )


RULE = WritingRule(
    name="action-in-a-warning",
    code="SW314",
    summary="A warning orders an action, where only a step should.",
    source="NUREG-0899; ASD-STE100 5.5",
    mark="quoted by others",
    look=look,
)
