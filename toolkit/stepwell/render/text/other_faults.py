"""Findings that no list of a lower layer holds: of words against actions, of rules that do not fit a rig, of pages."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.diagnostics.severity import Severity
from stepwell.report import accepted
from stepwell.rules import ground, words_and_actions
from stepwell.source.translation_faults import TRANSLATION_FAULTS


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherFault:
    """Name, code, severity and explanation of one finding."""

    name: str
    code: str
    summary: str
    severity: Severity = Severity.SERIOUS


OTHER_FAULTS: tuple[OtherFault, ...] = (
    OtherFault(
        name=words_and_actions.NAME,
        code=words_and_actions.CODE,
        summary="What a step says and what it does disagree: a part or a verb is in one of them and not in the other.",
    ),
    OtherFault(
        name=ground.UNFIT_RULE,
        code=ground.UNFIT_CODE,
        summary="A rule asks something that the rig does not say, so it could not be decided there.",
    ),
    OtherFault(
        name="emergency-card-not-one-side",
        code="SW401",
        summary="An emergency card does not fit on one side of its paper, A4 or A5, even in the smallest permitted type.",
    ),
    OtherFault(
        name="step-split-over-pages",
        code="SW402",
        summary="A step, hold or question begins on one page of a card and ends on the next.",
    ),
    OtherFault(
        name="warning-parted-from-step",
        code="SW403",
        summary="A warning is on another page than the step it is about.",
    ),
    OtherFault(
        name="type-below-preferred-size",
        code="SW404",
        severity=Severity.MINOR,
        summary="To stay on one side, a card is set in type below the preferred size for its reading distance.",
    ),
    OtherFault(
        name="character-not-printable",
        code="SW405",
        summary="A character for which the card's fonts have no shape; its number is printed instead.",
    ),
    OtherFault(
        name="word-wider-than-its-line",
        code="SW406",
        summary="A word of a card is wider than its line and can't be broken.",
    ),
    OtherFault(
        name="sheet-too-long",
        code="SW407",
        severity=Severity.MINOR,
        summary="An index has more pages than can be hung up or carried in a pocket.",
    ),
    OtherFault(
        name="start-drawing-left-out",
        code="SW408",
        severity=Severity.MINOR,
        summary="The circuit before the first line is not drawn on a routine card, because its words would be too small to "
        "read at the card's distance on a page of their own.",
    ),
    OtherFault(
        name="page-too-heavy",
        code="ST001",
        severity=Severity.MINOR,
        summary="A page of the site with its font and style is larger than 60 KB, which is slow on a phone.",
    ),
    OtherFault(
        name=accepted.STALE,
        code=accepted.STALE_CODE,
        severity=Severity.MINOR,
        summary="A finding was accepted that is not found any more; the entry would hide the next one.",
    ),
    OtherFault(
        name=accepted.NOT_TO_ACCEPT,
        code=accepted.NOT_TO_ACCEPT_CODE,
        summary="Something was accepted that is no finding of writing; it is shown all the same.",
    ),
    *(OtherFault(name=one.name, code=one.code, severity=one.severity, summary=one.summary) for one in TRANSLATION_FAULTS),
)
