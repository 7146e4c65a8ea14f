"""Findings about critical steps: those of which a slip does fatal harm before anybody notices."""

from __future__ import annotations

from stepwell.diagnostics.severity import Severity
from stepwell.model.review import ON_CONFIRMATION
from stepwell.report.faults import Fault

UNANSWERED = Fault(
    name="critical-step-unanswered",
    code="SW601",
    severity=Severity.SERIOUS,
    summary=(
        "A step of which one slip does fatal harm in some order before anything in the model notices. Found with --slips "
        "alone. It is answered where the `expect` of another step, a hold or a question brings the slip to light before "
        "the harm; where a second role confirms and that comes before the harm in every order; or where the slip is waived "
        "by name. A confirmation at the step itself counts for every slip but leaving it out, for it is left out too: the "
        "second person looks at what the step expects of the circuit, and at its words alone where it expects nothing "
        "(not where the step is done twice, for it has been confirmed by then). A confirmation at another step counts "
        "where that step always comes after the slip, does nothing, has words alone, names a part that the slipped step "
        "is done to, and is confirmed by another role than the one who slipped. A waiver is a file in rules/ with "
        "`waiver` (the rule of the harm), `procedure`, `step`, `slip`, `by`, `until` and `reason`."
    ),
)
TOO_MANY = Fault(
    name="too-many-on-confirmation",
    code="SW602",
    severity=Severity.SERIOUS,
    summary=(
        "More critical steps of a procedure lean on a second person's confirmation alone than may. A confirmation is a weak "
        "control, and weaker the more there are. How many may is `steps-on-confirmation` under `review` in unit.yaml; where "
        f"that is not set it is {ON_CONFIRMATION}, a house default from common practice, no source."
    ),
)
WAIVER_EXPIRED = Fault(
    name="slip-waiver-expired",
    code="SW603",
    severity=Severity.SERIOUS,
    summary="The last day of a waiver of a slip is over, so it answers for nothing any more. Found with --slips alone.",
)
WAIVER_UNUSED = Fault(
    name="slip-waiver-unused",
    code="SW604",
    severity=Severity.SERIOUS,
    summary=(
        "A waiver of a slip that does no such harm unnoticed, so that it would hide what comes later. Found with "
        "--slips alone."
    ),
)
FAULTS: tuple[Fault, ...] = (UNANSWERED, TOO_MANY, WAIVER_EXPIRED, WAIVER_UNUSED)
