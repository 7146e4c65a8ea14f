"""A made-up report with one of each thing that a reader may meet."""

from __future__ import annotations

from datetime import date

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.severity import Certainty, Severity
from stepwell.diagnostics.span import Span
from stepwell.diagnostics.trace import Trace, TraceLine
from stepwell.report.results import Bites, Bound, CheckReport, Orders, ProcedureReport, Status, Verdict

DAY = date(2026, 11, 25)


def span(line: int) -> Span:
    path = "unit/procedures/prime-adult.yaml"
    return Span(path=path, line=line, column=9, end_line=line, end_column=29)


TRACE = Trace(
    lines=(
        TraceLine(step="a1b2", who="Assistant", does="hangs the prime bag", span=span(20)),
        TraceLine(
            step="k7f3",
            who="Assistant",
            does="opens the prime clamp",
            changes=("the prime line fills with liquid that still holds air", "the oxygenator may have filled"),
            mark="trap",
            span=span(25),
        ),
        TraceLine(step="m2q8", who="Sterile primer", does="zeroes the drainage sensor", mark="spring", span=span(30)),
    ),
    circuit=("the drainage line holds liquid with air", "the pump is stopped"),
)

VIOLATION = Finding(
    rule="built-in-sensor-zeroed-wet",
    code="SW101",
    severity=Severity.SERIOUS,
    message="The drainage sensor is zeroed when its chamber is not surely dry.",
    mend="Zero the drainage sensor before the prime line is opened.",
    span=span(30),
    procedure="prime-adult",
    step="m2q8",
    related=(Related(message="the trap is set here", span=span(25), step="k7f3"),),
    trace=TRACE,
)
SMALL = Finding(
    rule="say-names-other-part",
    code="SW301",
    severity=Severity.MINOR,
    message="The words name the vent, but no action touches it.",
    span=span(44),
    procedure="prime-adult",
)
FATAL = Finding(
    rule="patient-on-carbon-dioxide",
    code="SW111",
    severity=Severity.FATAL,
    certainty=Certainty.WILL,
    message="The sweep gas is CO₂.",
    procedure="prime-adult",
)
UNREADABLE = Finding(
    rule="unknown-key",
    code="SW201",
    severity=Severity.SERIOUS,
    message="“sais” is no key of a step.",
    span=span(3),
    unusable=True,
)


def verdict(code: str, status: Status, *, bites: Bites | None = None, bound: Bound | None = None) -> Verdict:
    return Verdict(
        procedure="prime-adult",
        rule=f"rule-{code.lower()}",
        code=code,
        title=f"Title of {code}",
        sentence="",
        severity=Severity.SERIOUS,
        status=status,
        orders=Orders(number=2**64, exact=True),
        bites=bites,
        bound=bound,
        rig="adult-bedside",
        rig_version="1.0.0",
        milliseconds=12.34567,
    )


VERDICTS = (
    verdict("SW104", Status.HOLDS, bites=Bites(step="k7f3", statement="Leaving out k7f3 would break it.")),
    verdict("SW101", Status.VIOLATED),
    verdict("SW105", Status.HOLDS, bites=Bites(step=None, statement="No single step was found that it needs.")),
    verdict("SW106", Status.NOT_DECIDED, bound=Bound(states=200_000, length=14, reason="the limit was reached")),
    verdict("SW107", Status.NOT_APPLICABLE),
)


def procedure(*findings: Finding, verdicts: tuple[Verdict, ...] = VERDICTS) -> ProcedureReport:
    return ProcedureReport(
        complete=False,
        procedure="prime-adult",
        title="Prime the adult set",
        checked=True,
        orders=Orders(number=2**64, exact=True),
        states=345,
        verdicts=verdicts,
        findings=findings,
    )


WORDING = ProcedureReport(
    procedure="shift-check", title="Shift check", checked=False, orders=None, states=0, verdicts=(), findings=()
)

REPORT = CheckReport(
    as_of=DAY,
    procedures=(procedure(VIOLATION, SMALL), WORDING),
    findings=(UNREADABLE, VIOLATION, SMALL),
)
CLEAN = CheckReport(as_of=DAY, procedures=(procedure(verdicts=VERDICTS[:1]),), findings=())
UNDECIDED = CheckReport(as_of=DAY, procedures=(procedure(verdicts=(VERDICTS[3],)),), findings=())
