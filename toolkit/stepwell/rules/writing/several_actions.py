"""One line, one action."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule
from stepwell.rules.writing.verbs import ACTING, LOOKING, TELLING

_THEN = re.compile(r"(?:,?\s+(?:and then|and|then)|[,;])\s+([a-z]+)\b", re.I)
_MOST = 2
"""So many short actions on like parts read as one ("take X off, turn Y"); more do not."""


def look(page: Page) -> Iterator[Seen]:
    """Lines that begin a further action after "and", "then" or a comma, beyond what the step declares as one."""
    for step in page.steps:
        said = page.bare(step.say)
        further = [word.lower() for word in _THEN.findall(said) if word.lower() in ACTING | LOOKING | TELLING]
        if len(further) > max(_MOST, len(step.do) - 1):
            yield Seen(
                message=f"The line asks for {len(further) + 1} actions; the reader loses the place within it.",
                mend="Make a step of each, or keep those together that one hand does at once.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="several-actions-in-a-line",
    code="SW311",
    summary="A line asks for several actions one after another.",
    source="HSG48, list for auditing procedures; ASD-STE100 5.1 and 5.2",
    mark="quoted by others",
    look=look,
)
