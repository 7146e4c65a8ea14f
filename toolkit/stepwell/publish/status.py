"""Why a sheet is a draft. Never why it would be safe."""

from __future__ import annotations

from stepwell.model.language import ENGLISH, Language
from stepwell.model.procedure import Procedure
from stepwell.publish.sheet import ReleaseMark, StatusLine
from stepwell.report.results import ProcedureReport, Status


def status_of(
    procedure: Procedure,
    report: ProcedureReport | None,
    release: ReleaseMark | None,
    language: Language = ENGLISH,
    why: str = "",
) -> StatusLine:
    """The status line: released, or a draft with its reasons in the order in which they matter.

    ``why`` is what the releases of the procedure have to do with its being a draft, in the language; empty if nothing.
    """
    reasons: list[str] = []

    def say(english: str, **slots: str) -> str:
        return language.say("card", english, **slots)

    if procedure.wording_only:
        reasons.append(say("order not checked (wording only)"))
    elif report is None or not report.checked:
        reasons.append(say("order not checked"))
    else:
        reasons.extend(
            say(word if verdict.waiver is None else "violated, but waived: {rule}", rule=say_rule(verdict.title, language))
            for status, word in ((Status.VIOLATED, "violated: {rule}"), (Status.NOT_DECIDED, "not decided: {rule}"))
            for verdict in report.verdicts
            if verdict.status is status
        )
    if report is not None:
        # By name: a card has no room for what a finding says.
        named = dict.fromkeys(finding.rule.replace("-", " ") for finding in report.against)
        reasons.extend(say("found: {fault}", fault=say_rule(name, language)) for name in named)
    if release is None:
        about = (why,) if why else ()
        return StatusLine(draft=True, reasons=(say("not released"), *about, *reasons))
    return StatusLine(draft=False, reasons=tuple(reasons))


def say_rule(title: str, language: Language) -> str:
    """The title of a rule or the name of a fault, which the tool has in English alone where nobody has translated it."""
    return language.say("rule", title)
