"""How each silent fatal slip is answered: waived by name, by a confirmation, or not at all.

What catches a slip is found by the search; such a slip is not silent and needs no answer.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.span import Span
from stepwell.model.procedure import Procedure, steps_of
from stepwell.model.review import ON_CONFIRMATION
from stepwell.model.slip import Sort
from stepwell.model.unit import Unit
from stepwell.model.waiver import Waiver
from stepwell.report.faults import Fault
from stepwell.report.waivers import in_words
from stepwell.slips.faults import TOO_MANY, UNANSWERED, WAIVER_EXPIRED, WAIVER_UNUSED
from stepwell.slips.results import Outcome, Slip, SlipReport
from stepwell.slips.words import harm, how_wrong, name, names


class How(StrEnum):
    """What answers for a silent fatal slip."""

    WAIVED = "waived"
    """All its fatal harm is waived by name."""
    CONFIRMED = "confirmed"
    """What is not waived is met by no order in which second people confirm."""
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """``waivers`` say by whom, until when and why; what is said of several rules in the same words stands once."""

    step: str
    sort: Sort
    how: How
    waivers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """The slips of a procedure, the answers to those that are silent and fatal, and what is to be answered for.

    ``most``: so many critical steps may lean on a confirmation alone.
    """

    report: SlipReport
    answers: tuple[Answer, ...]
    most: int
    findings: tuple[Finding, ...]

    def answer(self, slip: Slip) -> Answer | None:
        """The answer to a slip; None if it needs none."""
        return next((one for one in self.answers if (one.step, one.sort) == (slip.step, slip.sort)), None)

    def count(self, how: How) -> int:
        """How many silent fatal slips are answered like this."""
        return sum(one.how is how for one in self.answers)

    @property
    def leaning(self) -> tuple[str, ...]:
        """The critical steps that lean on a confirmation alone, in some slip."""
        return _leaning(self.answers)


def answered(report: SlipReport, procedure: Procedure, unit: Unit, waivers: Collection[Waiver], as_of: date) -> Answers:
    """The answers on a day. ``waivers`` are those of the workspace."""
    mine = slip_waivers(waivers, procedure.id)
    labels = {role.id: role.label for role in unit.roles}
    active = {(one.step, one.slip, one.rule): one for one in mine if not one.expired(as_of)}
    answers = tuple(_answer(slip, active, labels) for slip in report.slips if slip.fatal_silent)
    most = ON_CONFIRMATION if unit.review is None else unit.review.on_confirmation
    findings = [
        *_unanswered(report, answers, {step.id: step.span for step in steps_of(procedure.body)}),
        *_too_many(report, _leaning(answers), most, procedure.span),
        *(_waiver_fault(WAIVER_EXPIRED, one) for one in mine if one.expired(as_of)),
        *(_waiver_fault(WAIVER_UNUSED, one) for one in active.values() if not _used(one, report)),
    ]
    return Answers(report=report, answers=answers, most=most, findings=tuple(findings))


def slip_waivers(waivers: Collection[Waiver], procedure: str) -> tuple[Waiver, ...]:
    """The waivers of slips of one procedure."""
    return tuple(one for one in waivers if one.slip is not None and one.procedure == procedure)


def unused_for(waivers: Collection[Waiver]) -> tuple[Finding, ...]:
    """Findings for waivers of slips in a procedure whose order is not checked, so that it has none."""
    return tuple(_waiver_fault(WAIVER_UNUSED, one) for one in waivers)


def _leaning(answers: tuple[Answer, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.step for one in answers if one.how is How.CONFIRMED))


def _answer(slip: Slip, active: Mapping[tuple[str | None, Sort | None, str], Waiver], labels: Mapping[str, str]) -> Answer:
    found = {rule: active[slip.step, slip.sort, rule] for rule in slip.harms if (slip.step, slip.sort, rule) in active}
    if slip.cut_short:
        how = How.NOTHING
    elif len(found) == len(slip.harms):
        how = How.WAIVED
    elif all(rule in found for rule in slip.unconfirmed):
        how = How.CONFIRMED
    else:
        how = How.NOTHING
    return Answer(
        step=slip.step,
        sort=slip.sort,
        how=how,
        waivers=tuple(dict.fromkeys(in_words(one, labels) for one in found.values())),
    )


def _unanswered(report: SlipReport, answers: tuple[Answer, ...], places: Mapping[str, Span | None]) -> list[Finding]:
    """One finding for each critical step."""
    found: dict[str, list[Slip]] = {}
    for one in answers:
        slip = report.slip(one.step, one.sort)
        if one.how is How.NOTHING and slip is not None:
            found.setdefault(one.step, []).append(slip)
    return [
        Finding(
            rule=UNANSWERED.name,
            code=UNANSWERED.code,
            severity=UNANSWERED.severity,
            message=f"Step {name(step, report)} is critical, and nothing answers for it: {_told(slips, report)}",
            mend="Let a later step look for it (`expect`) before the harm, or a second role confirm it where that is in "
            "time; or waive the slip by name, with a reason.",
            span=places.get(step),
            procedure=report.procedure,
            step=step,
        )
        for step, slips in found.items()
    ]


def _told(slips: list[Slip], report: SlipReport) -> str:
    told = []
    for slip in slips:
        more = [rule for rule in slip.harms if rule != slip.rule]
        besides = f" (and {', '.join(more)})" if more else ""
        short = "; the search was stopped before its end" if slip.cut_short else ""
        told.append(f"{how_wrong(slip)}, it leads to {harm(slip, report)}{besides} and nobody notices{short}.")
    return " ".join(one if not at else one[:1].upper() + one[1:] for at, one in enumerate(told))


def _too_many(report: SlipReport, leaning: tuple[str, ...], most: int, place: Span | None) -> list[Finding]:
    if len(leaning) <= most:
        return []
    default = ", the house default" if most == ON_CONFIRMATION else ""
    return [
        Finding(
            rule=TOO_MANY.name,
            code=TOO_MANY.code,
            severity=TOO_MANY.severity,
            message=f"{len(leaning)} critical steps of “{report.title}” lean on a confirmation alone: "
            f"{names(leaning, report)}. At most {most} may{default}.",
            mend="Let later steps look for some of these slips (`expect`).",
            span=place,
            procedure=report.procedure,
        )
    ]


def _used(waiver: Waiver, report: SlipReport) -> bool:
    """True if the slip does this harm in silence, or might."""
    slip = None if waiver.step is None or waiver.slip is None else report.slip(waiver.step, waiver.slip)
    if slip is None:
        return False
    return waiver.rule in slip.harms or slip.cut_short or slip.outcome is Outcome.UNDECIDED


def _waiver_fault(fault: Fault, waiver: Waiver) -> Finding:
    what = f"The waiver of “{waiver.rule}” at step {waiver.step} of {waiver.procedure}, {waiver.slip},"
    if fault is WAIVER_EXPIRED:
        message = f"{what} ended on {waiver.until.isoformat()}."
        mend = "Delete it, or have it decided anew with another day."
    else:
        message = f"{what} answers for nothing: the slip does no such harm unnoticed."
        mend = "Delete it, so that it does not hide what comes later."
    return Finding(
        rule=fault.name,
        code=fault.code,
        severity=fault.severity,
        message=message,
        mend=mend,
        span=waiver.span,
        procedure=waiver.procedure,
        step=waiver.step,
    )
