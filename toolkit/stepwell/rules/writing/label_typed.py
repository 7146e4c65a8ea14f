"""One name per thing, as labelled."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepwell.rules.writing.page import Page, Seen, WritingRule


def look(page: Page) -> Iterator[Seen]:
    """Labels of parts that the author typed by hand into what is read aloud, so that they will drift."""
    labels = sorted((label, part) for part, label in page.labels.items() if " " in label or any(map(str.isdigit, label)))
    for step in page.steps:
        said = page.bare(step.say)
        for label, part in labels:
            if re.search(rf"(?<!\w){re.escape(label)}(?!\w)", said, re.I):
                yield Seen(
                    message=f"“{label}” is typed by hand, and will not follow when the label on the set changes.",
                    mend=f"Write {{{part}}}.",
                    step=step.id,
                    span=step.say_span,
                )
                break


RULE = WritingRule(
    name="label-typed-by-hand",
    code="SW324",
    summary="The label of a part is typed into a line instead of being taken from the rig.",
    source="HSG48, list for auditing procedures: one name for each thing",
    mark="quoted by others",
    look=look,
)
