"""Slips and what answers for them as plain values, as ``schema/check.schema.json`` describes them."""

from __future__ import annotations

from typing import TypeAlias

from stepwell.slips.answers import Answer, Answers, How
from stepwell.slips.results import Slip

Json: TypeAlias = bool | int | float | str | list["Json"] | dict[str, "Json"] | None


def slips_document(answers: Answers) -> Json:
    """The slips of one procedure."""
    report = answers.report
    return {
        "procedure": report.procedure,
        "fatal_silent": report.fatal_silent,
        "fatal_total": report.fatal_total,
        "waived": answers.count(How.WAIVED),
        "confirmed": answers.count(How.CONFIRMED),
        "unanswered": answers.count(How.NOTHING),
        "undecided": report.undecided,
        "critical": list(report.critical),
        "leaning": list(answers.leaning),
        "most_leaning": answers.most,
        "slips": [_slip(slip, answers.answer(slip)) for slip in report.slips],
    }


def _slip(slip: Slip, answer: Answer | None) -> Json:
    return {
        "step": slip.step,
        "sort": slip.sort.value,
        "outcome": slip.outcome.value,
        "detail": slip.detail,
        "where": slip.where,
        "rule": slip.rule,
        "severity": None if slip.severity is None else slip.severity.word,
        "misses_end": slip.misses_end,
        "fatal": slip.fatal,
        "cut_short": slip.cut_short,
        "harms": list(slip.harms),
        "answer": None if answer is None else _answer(slip, answer),
    }


def _answer(slip: Slip, answer: Answer) -> Json:
    return {"by": answer.how.value, "waivers": list(answer.waivers), "confirmed_at": list(slip.confirmed_by)}
