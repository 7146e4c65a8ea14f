"""A check changes nothing."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.circuit.catalogue import verb
from stepwell.rules.writing.page import Page, Seen, WritingRule, words_of

_CHECKS = {"check", "compare", "confirm", "verify"}


def look(page: Page) -> Iterator[Seen]:
    """Lines that say "check" and change the state of the circuit."""
    for step in page.steps:
        first = next(iter(words_of(page.bare(step.say))), "")
        acts = [entry for action in step.do if (entry := verb(action.verb)) is not None and entry.changes_state]
        if first in _CHECKS and any(first not in entry.words for entry in acts):
            yield Seen(
                message=f"The line says “{first}”, but the step changes something ({acts[0].name}).",
                mend="Say what is done, and put what is checked into `expect`.",
                step=step.id,
                span=step.say_span,
            )


RULE = WritingRule(
    name="check-that-changes",
    code="SW322",
    summary="A line that says “check” does something.",
    source="DOE-STD-1029-92: verify, check, notify and record are kept distinct",
    mark="primary text",
    look=look,
)
