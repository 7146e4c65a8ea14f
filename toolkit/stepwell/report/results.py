"""What a check of a workspace yields: verdicts and findings as values."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from stepwell.circuit.layout import State
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.diagnostics.trace import Trace
from stepwell.model.waiver import Waiver


class Status(StrEnum):
    """The verdict on one rule for one procedure."""

    HOLDS = "holds"
    VIOLATED = "violated"
    NOT_APPLICABLE = "not applicable"
    NOT_DECIDED = "not decided"


@dataclass(frozen=True, slots=True, kw_only=True)
class Orders:
    """How many orders a procedure permits. ``exact`` False means at least that many."""

    number: int
    exact: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Bites:
    """The witness that a rule bites: leaving out (or moving) this step would break it.

    ``step`` is None where no such deletion was found; ``statement`` says so in words.
    """

    step: str | None
    statement: str
    trace: Trace | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """How far an incomplete search came: states seen, the longest run length searched whole, and why it stopped."""

    states: int
    length: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One rule's verdict on one procedure."""

    procedure: str
    rule: str
    code: str
    title: str
    sentence: str
    severity: Severity
    status: Status
    orders: Orders
    bites: Bites | None = None
    bound: Bound | None = None
    waiver: Waiver | None = None
    """The waiver that covers every unsafe order that was found; the status stays *violated*."""
    searched: bool = True
    """False where it holds by what must come before what, although the search was cut short (see ``by_order``)."""
    finding: Finding | None = None
    milliseconds: float = field(default=0.0, compare=False)
    rig: str = ""
    rig_version: str = ""
    inspected: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepPicture:
    """The circuit around one step in the order of the page: sentences on what changed, for the step-through page, and the
    states before and after it (of the rig's layout), from which they can be drawn; empty where nothing is to be drawn."""

    step: str
    changes: tuple[str, ...]
    before: State = ()
    after: State = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureReport:
    """Everything found out about one procedure. ``checked`` is False where it is wording only."""

    procedure: str
    title: str
    checked: bool
    orders: Orders | None
    states: int
    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]
    pictures: tuple[StepPicture, ...] = ()
    complete: bool = True
    """Every permitted order was searched, as far as people can follow it."""
    starts: tuple[State, ...] = ()
    """Every state (of the rig's layout) that the procedure may start from; empty where that is not known."""

    @property
    def against(self) -> tuple[Finding, ...]:
        """What stands against the procedure besides the rules: serious or worse, not waived.

        An end that is not reached, or an action that can't be done, breaks no rule, and is no less wrong for that.
        """
        ruled = {verdict.rule for verdict in self.verdicts}
        return tuple(
            finding
            for finding in self.findings
            if finding.rule not in ruled and finding.severity >= Severity.SERIOUS and not finding.waived
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReport:
    """The check of a workspace (or of some of its procedures) as of a date."""

    as_of: date
    procedures: tuple[ProcedureReport, ...]
    findings: tuple[Finding, ...]
    """All findings: of the input, and of every procedure, in reading order."""
    accepted: int = 0
    """How many findings of writing are left out because the unit has accepted them."""

    @property
    def undecided(self) -> bool:
        """True if some rule of some procedure was not decided."""
        return any(v.status is Status.NOT_DECIDED for p in self.procedures for v in p.verdicts)

    def exit_code(self, threshold: Severity = Severity.SERIOUS) -> int:
        """0 nothing to answer for, 1 findings at or above ``threshold``, 2 unusable input, 3 only something not decided.

        What was waived is not counted.
        """
        if any(f.unusable for f in self.findings):
            return 2
        if any(f.severity >= threshold and not f.waived for f in self.findings):
            return 1
        return 3 if self.undecided else 0
