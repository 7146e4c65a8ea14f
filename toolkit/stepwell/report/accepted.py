"""Leaving accepted findings of writing out of what is shown, and telling of acceptances that accept nothing any more.

Only rules of writing can be accepted, and never a finding that is fatal: what breaks a rule of the order is waived by
name, with a reason and an end, or it is shown. What is left out is left out of what is shown and of the exit code, and
nowhere else: a card and a release are judged by everything that was found.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.accepted import Accepted
from stepwell.report.results import CheckReport
from stepwell.rules.writing.all_rules import RULES

STALE = "accepted-finding-gone"
STALE_CODE = "AC001"
NOT_TO_ACCEPT = "accepted-without-right"
NOT_TO_ACCEPT_CODE = "AC002"

_Key = tuple[str, str, str | None]
_NAMES = frozenset(rule.name for rule in RULES)


def can_be_accepted(finding: Finding) -> bool:
    """Whether a finding is one of writing, of a procedure, and not fatal."""
    return (
        finding.rule in _NAMES
        and finding.severity < Severity.FATAL
        and finding.procedure is not None
        and not finding.unusable
        and not finding.waived
    )


def without_accepted(report: CheckReport, accepted: Iterable[Accepted]) -> CheckReport:
    """The report without what was accepted, which it counts; with a finding on every entry that accepts nothing."""
    entries = tuple(accepted)
    wanted = {_entry_key(one) for one in entries}
    hidden = {one for one in report.findings if can_be_accepted(one) and _key(one) in wanted}
    met = {_key(one) for one in hidden}
    checked = {one.procedure for one in report.procedures}
    told = tuple(_told(one) for one in entries if one.procedure in checked and _entry_key(one) not in met)
    return replace(
        report,
        procedures=tuple(
            replace(each, findings=tuple(one for one in each.findings if one not in hidden)) for each in report.procedures
        ),
        findings=(*(one for one in report.findings if one not in hidden), *told),
        accepted=len(hidden),
    )


def accepting(report: CheckReport, before: Iterable[Accepted], by: str, on: date) -> tuple[Accepted, ...]:
    """The entries after everything that can be accepted was: what is known keeps its day and role, what is gone goes."""
    known = {_entry_key(one): one for one in before}
    checked = {one.procedure for one in report.procedures}
    kept = {key: one for key, one in known.items() if one.procedure not in checked}
    for one in report.findings:
        if can_be_accepted(one):
            rule, procedure, step = key = _key(one)
            kept[key] = known.get(key) or Accepted(rule=rule, procedure=procedure, step=step, on=on, by=by)
    return tuple(kept.values())


def _key(finding: Finding) -> _Key:
    return (finding.rule, finding.procedure or "", finding.step)


def _entry_key(one: Accepted) -> _Key:
    return (one.rule, one.procedure, one.step)


def _told(one: Accepted) -> Finding:
    at = f"{one.procedure} at {one.step}" if one.step else one.procedure
    if one.rule not in _NAMES:
        return Finding(
            rule=NOT_TO_ACCEPT,
            code=NOT_TO_ACCEPT_CODE,
            severity=Severity.SERIOUS,
            message=f"`{one.rule}` is no rule of writing, so it can't be accepted for {at}; it is shown all the same.",
            mend="Delete the entry. What breaks a rule of the order can be waived, by name, with a reason and an end.",
            span=one.span,
        )
    return Finding(
        rule=STALE,
        code=STALE_CODE,
        severity=Severity.MINOR,
        message=f"`{one.rule}` is accepted for {at}, but nothing is found there any more.",
        mend="Delete the entry, or run `stepwell check --accept ROLE`, or it would hide the next one.",
        span=one.span,
    )
