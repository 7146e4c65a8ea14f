"""Waivers at work: which verdict one covers, and which are over or waive nothing.

A waiver never changes a verdict. One for a step covers the unsafe orders that strike at that step; whether there are others
is searched for anew, because a search tells only the shortest of each rule.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date

from stepwell.diagnostics.finding import Finding
from stepwell.model.waiver import Waiver
from stepwell.report.faults import WAIVER_EXPIRED, WAIVER_UNUSED, Fault
from stepwell.report.results import Status


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """What is left of a rule where some steps are waived: a finding at another step, if ``complete`` else None means no.

    ``hit`` are the steps at which something was waived.
    """

    finding: Finding | None
    complete: bool
    hit: frozenset[str]


Search = Callable[[str, frozenset[str]], Elsewhere]
"""Searches for an unsafe order of a rule that strikes at none of these steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Waived:
    """Per violated rule the waiver that covers it wholly; the findings that are to be shown for the rules; what is wrong
    with the waivers themselves."""

    covers: Mapping[str, Waiver]
    found: Mapping[str, tuple[Finding, ...]]
    faults: tuple[Finding, ...]


def waived(
    waivers: Collection[Waiver],
    statuses: Mapping[str, Status],
    found: Mapping[str, Finding],
    as_of: date,
    labels: Mapping[str, str],
    search: Search,
) -> Waived:
    """``waivers`` are those of one procedure, ``found`` the finding of each violated rule, ``labels`` those of roles."""
    covers: dict[str, Waiver] = {}
    shown: dict[str, tuple[Finding, ...]] = {rule: (finding,) for rule, finding in found.items()}
    wrong = [_fault(WAIVER_EXPIRED, one) for one in waivers if one.expired(as_of)]
    by_rule: dict[str, list[Waiver]] = {}
    for one in waivers:
        if not one.expired(as_of):
            by_rule.setdefault(one.rule, []).append(one)
    for rule, active in by_rule.items():
        finding = found.get(rule)
        if finding is None:
            if statuses.get(rule) is not Status.NOT_DECIDED:
                wrong += [_fault(WAIVER_UNUSED, one) for one in active]
            continue
        whole = next((one for one in active if one.step is None), None)
        if whole is not None:
            covers[rule], shown[rule] = whole, (_marked(finding, whole, labels),)
            continue
        steps = {one.step: one for one in active if one.step is not None}
        other = search(rule, frozenset(steps))
        wrong += [_fault(WAIVER_UNUSED, one) for step, one in steps.items() if other.complete and step not in other.hit]
        here = steps.get(finding.step or "")
        if here is None:
            continue
        marked = _marked(finding, here, labels)
        if other.finding is not None:
            shown[rule] = (other.finding, marked)
        elif other.complete:
            covers[rule], shown[rule] = here, (marked,)
    return Waived(covers=covers, found=shown, faults=tuple(wrong))


def in_words(waiver: Waiver, labels: Mapping[str, str]) -> str:
    """Who answers for it, until when, and why."""
    return f"{labels.get(waiver.by, waiver.by)}, until {waiver.until.isoformat()}: {waiver.reason}"


def _marked(finding: Finding, waiver: Waiver, labels: Mapping[str, str]) -> Finding:
    return replace(finding, waived=in_words(waiver, labels))


def _fault(fault: Fault, waiver: Waiver) -> Finding:
    where = f"at step {waiver.step} of {waiver.procedure}" if waiver.step else f"in {waiver.procedure}"
    if fault is WAIVER_EXPIRED:
        message = f"The waiver of “{waiver.rule}” {where} ended on {waiver.until.isoformat()}."
        mend = "Delete the waiver, or have it decided anew and write the new date in `until`."
    else:
        message = f"The waiver of “{waiver.rule}” {where} waives nothing: no unsafe order is found there."
        mend = "Delete it, so that it does not hide what comes later."
    return Finding(
        rule=fault.name,
        code=fault.code,
        severity=fault.severity,
        message=message,
        mend=mend,
        span=(waiver.until_span if fault is WAIVER_EXPIRED else None) or waiver.span,
        procedure=waiver.procedure,
    )
