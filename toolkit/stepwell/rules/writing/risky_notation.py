"""Figures that can't be misread."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule

_RISKS = (
    (re.compile(r"(?<![\d.])\.\d"), "a point without a zero before it", "Write 0.5, not .5."),
    (re.compile(r"\b\d+\.0(?!\d)(?!\.\d)"), "a point and a zero after it", "Write 1, not 1.0."),
    (re.compile(r"\d\s?(?:U|IU|u|iu)\b"), "a letter that is read as a nought or a four", "Write units in full."),
    (re.compile(r"\d\s?[uμµ]g\b"), "a sign for micro that is read as milli", "Write micrograms in full."),
    (re.compile(r"\d\s?cc\b", re.I), "“cc”", "Write mL."),
    (re.compile(r"\d(?:mL|cm|mm|rpm|kPa|mmHg|bar|min|kg|L)\b"), "no space before the unit", "Put a space there."),
)


def look(page: Page) -> Iterator[Seen]:
    """Figures typed into a text in a way that has been misread before."""
    for step, what, text, span in page.typed():
        for pattern, why, mend in _RISKS:
            found = pattern.search(text)
            if found is not None:
                message = f"`{what}` has “{found[0]}”: {why}."
                yield Seen(message=message, mend=mend, step=step.id, span=span)
                break


RULE = WritingRule(
    name="figure-easily-misread",
    code="SW323",
    summary="A figure or unit is written in a way that is known to be misread.",
    source="ISMP list of error-prone abbreviations",
    mark="quoted by others",
    look=look,
)
