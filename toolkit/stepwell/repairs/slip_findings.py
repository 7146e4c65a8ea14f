"""Fatal slips that nothing catches, as findings: what a repair for them stands beside."""

from __future__ import annotations

from stepwell.diagnostics.finding import Finding
from stepwell.model.procedure import Procedure, steps_of
from stepwell.model.rule import Rule
from stepwell.repairs.kept_slips import Silent
from stepwell.repairs.wording import Wording


def slip_finding(procedure: Procedure, rule: Rule, silent: Silent, where: str | None, wording: Wording) -> Finding:
    """The finding of one slip, at the step that may go wrong; it bears the name of the rule that is then violated."""
    step = next((one for one in steps_of(procedure.body) if one.id == silent[0]), None)
    harm = "at the end of the card" if where is None else f"at {wording.named(where)}"
    return Finding(
        rule=rule.name,
        code=rule.code,
        severity=rule.severity,
        certainty=rule.certainty,
        message=f"Nothing notices if {wording.slipping(silent)}; it harms {harm}: {_inner(rule.title)}.",
        span=None if step is None else step.span or procedure.span,
        procedure=procedure.id,
        step=silent[0],
    )


def _inner(title: str) -> str:
    return title[:1].lower() + title[1:].rstrip(".")
