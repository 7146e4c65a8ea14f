"""What a check has to say about one place: frozen data, rendered elsewhere."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.diagnostics.repair import Repair
from stepwell.diagnostics.severity import Certainty, Severity, signal_word
from stepwell.diagnostics.span import Span
from stepwell.diagnostics.trace import Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Related:
    """Another place that the reader must see to understand the finding, such as the step that set the trap."""

    message: str
    span: Span | None = None
    step: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to answer for.

    ``rule`` is the readable name of the fault, ``code`` its short stable code; neither is ever reused for another fault.
    ``message`` says what is wrong in the author's words, ``mend`` how to put it right.
    ``unusable`` marks input that could not be read at all (exit code 2) in contrast to a fault of the procedure.
    """

    rule: str
    code: str
    severity: Severity
    message: str
    certainty: Certainty = Certainty.COULD
    mend: str = ""
    span: Span | None = None
    procedure: str | None = None
    step: str | None = None
    related: tuple[Related, ...] = ()
    trace: Trace | None = None
    unusable: bool = False
    waived: str = ""
    """By whom it was waived, until when and why; empty if it was not. A waived finding is shown, but not counted."""
    repair: Repair | None = None
    unmended: str = ""
    """Why no repair is offered although one was looked for; empty where none was looked for, or one was found."""

    @property
    def signal(self) -> str:
        """The signal word for this finding (DANGER, WARNING or CAUTION)."""
        return signal_word(self.severity, self.certainty)


def reading_order(finding: Finding) -> tuple[bool, int, str, int, int, str]:
    """Sort key for a list of findings: worst first, then by place, then by name; what is waived comes after the rest."""
    span = finding.span
    place = (span.path, span.line, span.column) if span else ("", 0, 0)
    return (bool(finding.waived), -finding.severity, *place, finding.rule)
