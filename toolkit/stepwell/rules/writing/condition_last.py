"""The condition comes before the action."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule
from stepwell.rules.writing.verbs import LEADING

_LATE = re.compile(r"\b(if|when|unless|provided)\b", re.I)


def look(page: Page) -> Iterator[Seen]:
    """Lines that begin with the action and tell afterwards when it is to be done."""
    for step in page.steps:
        said = page.bare(step.say)
        first = said.split(" ", 1)[0].lower()
        found = _LATE.search(said)
        if first in LEADING and found is not None and found.start() > 0:
            yield Seen(
                message=f"The condition (“{found[1]} ...”) stands after the action, which is done by then.",
                mend="Put the condition first, or make a question of it.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="condition-after-action",
    code="SW313",
    summary="A line tells what to do before it tells when.",
    source="Bovair and Kieras 1984, by way of a guide for writers; NUREG-0899",
    mark="primary text and quoted by others",
    look=look,
)
