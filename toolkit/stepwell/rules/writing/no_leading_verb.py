"""A line begins with its verb."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule, words_of
from stepwell.rules.writing.verbs import LEADING

_CONDITIONS = {"if", "when", "once", "with", "while", "as"}
_MAKE = {"make", "do"}


def look(page: Page) -> Iterator[Seen]:
    """Lines that begin with neither a verb nor a condition."""
    if page.unit.languages[:1] != ("en",):
        return
    for step in page.steps:
        first = next(iter(words_of(page.bare(step.say))), "")
        if first and first not in LEADING | _CONDITIONS | _MAKE and first.removesuffix("-up") not in LEADING:
            yield Seen(
                message=f"The line begins with “{first}”, not with what is to be done.",
                mend="Begin with the verb: “Open ...”, “Shut ...”, “Look at ...”.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="no-leading-verb",
    code="SW315",
    summary="A line does not begin with the verb.",
    source="Guide for writers of procedures, on active voice and action verbs",
    mark="primary text",
    look=look,
)
