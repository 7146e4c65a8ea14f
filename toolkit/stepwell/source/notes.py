"""What reading one file has found so far."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.span import Span
from stepwell.source.faults import Fault

MOST = 200
"""Findings per file; a file with more is not a procedure but some other document."""


class EnoughError(Exception):
    """Raised inside the loader when a file has more findings than anybody would read; caught where the file is opened."""


@dataclass(slots=True)
class Notes:
    """Collects findings. ``procedure`` and ``step`` say where the reader is, and go into each finding."""

    path: str
    findings: list[Finding] = field(default_factory=list)
    procedure: str | None = None
    step: str | None = None

    def add(
        self,
        fault: Fault,
        span: Span | None,
        message: str,
        mend: str = "",
        *,
        related: tuple[Related, ...] = (),
    ) -> None:
        """Note a fault at its place. After ``MOST`` the reading of the file ends (EnoughError)."""
        if len(self.findings) >= MOST:
            last = self.findings[-1]
            self.findings[-1] = replace(last, message=f"{last.message} The file has more faults, which are not listed.")
            raise EnoughError
        self.findings.append(
            Finding(
                rule=fault.name,
                code=fault.code,
                severity=fault.severity,
                message=message,
                mend=mend,
                span=span,
                procedure=self.procedure,
                step=self.step,
                related=related,
                unusable=fault.unusable,
            )
        )

    def forgive(self) -> None:
        """Nothing that was found makes the unit unusable: what is wrong here is left out, and shown as left out."""
        self.findings = [replace(finding, unusable=False) for finding in self.findings]

    @property
    def unusable(self) -> bool:
        """True if the file can't be used."""
        return any(finding.unusable for finding in self.findings)

    def top(self) -> Span:
        """The very beginning of the file, for what has no better place."""
        return Span(path=self.path, line=1, column=1, end_line=1, end_column=1)
