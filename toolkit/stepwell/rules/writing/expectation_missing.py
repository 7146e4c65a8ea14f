"""A line that only looks says what should be seen."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule, words_of
from stepwell.rules.writing.verbs import LOOKING


def look(page: Page) -> Iterator[Seen]:
    """Lines that begin with "look", "check" and so on, without an expectation."""
    for step in page.steps:
        first = next(iter(words_of(page.bare(step.say))), "")
        if first in LOOKING and not step.expect and not step.do:
            yield Seen(
                message=f"The line says “{first}”, and does not say what should be seen.",
                mend="Add `expect` with the value, or with what is seen.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="look-without-expectation",
    code="SW330",
    summary="A line asks to look and does not say what should be seen.",
    source="Degani and Wiener 1990 (NASA CR-177549)",
    mark="quoted by others",
    look=look,
)
