"""Which rule watches for which hazard, in what shape, and where the checked procedures control it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from stepwell.model.rule import Rule, Shape, Source
from stepwell.report.results import CheckReport, Status, Verdict
from stepwell.rules.hazards import HAZARDS, Hazard


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """A procedure in which the rule has something to watch.

    ``step`` is the one whose omission or move would break the rule; None where no single one was found.
    """

    procedure: str
    status: Status
    step: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """A rule that watches for a hazard. ``shape`` in words; ``controls`` in the order of the procedures."""

    rule: str
    code: str
    shape: str
    sources: tuple[Source, ...]
    controls: tuple[Control, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardRow:
    """A hazard of the register with the rules that name it; without any, no rule watches for it."""

    hazard: Hazard
    watches: tuple[Watch, ...]


def shape_words(shape: Shape) -> str:
    """The name of a rule's shape as people say it: "before doing", "at the end"."""
    return re.sub(r"(?<!^)(?=[A-Z])", " ", type(shape).__name__).lower()


def hazard_table(rules: tuple[Rule, ...], report: CheckReport | None) -> tuple[HazardRow, ...]:
    """Every hazard of the register in order. Without a ``report`` there are no controls to name."""
    verdicts = [verdict for procedure in report.procedures for verdict in procedure.verdicts] if report else []
    watched = [(_watch(rule, verdicts), rule) for rule in sorted(rules, key=lambda rule: rule.code)]
    return tuple(
        HazardRow(
            hazard=hazard,
            watches=tuple(watch for watch, rule in watched if hazard.number in rule.hazards),
        )
        for hazard in HAZARDS
    )


def _watch(rule: Rule, verdicts: list[Verdict]) -> Watch:
    return Watch(
        rule=rule.name,
        code=rule.code,
        shape=shape_words(rule.shape),
        sources=rule.sources,
        controls=tuple(
            Control(
                procedure=verdict.procedure,
                status=verdict.status,
                step=verdict.bites.step if verdict.bites else None,
            )
            for verdict in verdicts
            if verdict.rule == rule.name and verdict.status is not Status.NOT_APPLICABLE
        ),
    )
