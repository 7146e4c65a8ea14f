"""A value, not a judgement."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule

VAGUE = (
    "adequate", "adequately", "appropriate", "appropriately", "as appropriate", "as indicated", "as necessary", "as needed",
    "as required", "as usual", "correctly", "if necessary", "if required", "normal", "normally", "properly", "sufficient",
    "sufficiently", "suitable",
)  # fmt: skip
_VAGUE = re.compile(r"\b(" + "|".join(sorted(VAGUE, key=len, reverse=True)) + r")\b", re.I)


def look(page: Page) -> Iterator[Seen]:
    """Words that leave the value to the reader, and words that the unit itself has set aside."""
    own = dict(page.unit.avoid)
    for step, what, text, span in page.typed():
        if what == "why":
            continue
        found = _VAGUE.search(text)
        mine = next((word for word in own if re.search(rf"\b{re.escape(word)}\b", text, re.I)), None)
        if mine is not None:
            yield Seen(
                message=f"`{what}` says “{mine}”, which the unit avoids.",
                mend=f"Instead: {own[mine]}.",
                step=step.id,
                span=span,
            )
        elif found is not None:
            yield Seen(
                message=f"`{what}` says “{found[1]}”: two readers will take it for two values.",
                mend="State the value with its unit, the range, or what is seen.",
                step=step.id,
                span=span,
            )


RULE = WritingRule(
    name="vague-word",
    code="SW312",
    summary="A word that leaves the value to the reader, such as “normal” or “as required”.",
    source="Degani and Wiener 1990 (NASA CR-177549); HSG48, list for auditing procedures",
    mark="quoted by others",
    look=look,
)
