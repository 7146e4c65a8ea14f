"""Every rule of writing, and looking at a procedure with all of them."""

from __future__ import annotations

from typing import Final

from stepwell.diagnostics.finding import Finding
from stepwell.rules.writing import (
    action_in_warning,
    arithmetic,
    branches,
    call_and_reply_alone,
    check_that_acts,
    condition_last,
    deadline_unguarded,
    expectation_missing,
    immediate_actions,
    label_typed,
    long_block,
    negative,
    no_completion,
    no_leading_verb,
    reason_missing,
    risky_notation,
    several_actions,
    too_long,
    vague_words,
    warning_alone,
)
from stepwell.rules.writing.page import Page, WritingRule

RULES: Final[tuple[WritingRule, ...]] = tuple(
    sorted(
        (
            module.RULE
            for module in (
                action_in_warning,
                arithmetic,
                branches,
                call_and_reply_alone,
                check_that_acts,
                condition_last,
                deadline_unguarded,
                expectation_missing,
                immediate_actions,
                label_typed,
                long_block,
                negative,
                no_completion,
                no_leading_verb,
                reason_missing,
                risky_notation,
                several_actions,
                too_long,
                vague_words,
                warning_alone,
            )
        ),
        key=lambda rule: rule.code,
    )
)


def writing_findings(page: Page) -> tuple[Finding, ...]:
    """What the wording has to answer for, in order of rule and then of the page."""
    return tuple(
        Finding(
            rule=rule.name,
            code=rule.code,
            severity=rule.severity,
            message=seen.message,
            mend=seen.mend,
            span=seen.span,
            procedure=page.procedure.id,
            step=seen.step,
        )
        for rule in RULES
        for seen in rule.look(page)
    )
