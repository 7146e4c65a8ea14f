"""Say what to do."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule

_NOT = re.compile(r"\b(not|except|unless|without|avoid|never|don't|don’t)\b", re.I)
_HARMLESS = re.compile(r"\bwithout (?:a )?(?:bubble|kink|drop|leak|clamp)", re.I)


def look(page: Page) -> Iterator[Seen]:
    """Lines with a negation; warnings are left alone."""
    for step in page.steps:
        said = _HARMLESS.sub("", page.bare(step.say))
        found = _NOT.search(said)
        if found is not None:
            yield Seen(
                message=f"The line says what not to do (“{found[1]}”); under stress the “not” is dropped.",
                mend="Say what to do instead, or make a warning of it.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="negative-line",
    code="SW326",
    summary="A line says what not to do.",
    source="Guide for writers of procedures: positive phrasing",
    mark="primary text",
    look=look,
)
