"""No sums at the bedside."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule

_SUM = re.compile(r"\d\s*[+*/×÷=]\s*\d|\b(?:multiply|divide|subtract|calculate|add up|times the|per cent of|% of)\b", re.I)


def look(page: Page) -> Iterator[Seen]:
    """Emergency cards that ask for arithmetic."""
    if not page.emergency:
        return
    for step, what, text, span in page.typed():
        found = _SUM.search(text)
        if found is not None:
            yield Seen(
                message=f"`{what}` asks for arithmetic (“{found[0]}”) in an emergency.",
                mend="Print a look-up table with the result.",
                step=step.id,
                span=span,
            )


RULE = WritingRule(
    name="arithmetic-in-an-emergency",
    code="SW316",
    summary="An emergency card asks for arithmetic.",
    source="McIntosh 2018; King 2018",
    mark="abstract",
    look=look,
)
