"""The whole report of a check as text for a terminal or a file."""

from __future__ import annotations

from collections import Counter

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.render.text.findings import finding_lines
from stepwell.render.text.look import Look
from stepwell.render.text.verdicts import verdict_lines
from stepwell.render.text.wrap import plain_ascii, wrap
from stepwell.report.results import CheckReport, Status

NOTICE = (
    "These verdicts are about the model: the rig file and the listed actions. Not a medical device; does not"
    " replace the"
    " maker's instructions, local policy or licensed judgement. Figures are the unit's."
)


def render_check(report: CheckReport, look: Look, *, threshold: Severity = Severity.SERIOUS) -> str:
    """The report as text that ends in a newline: procedures, what else was found, and the sum at the end,
    where a terminal leaves the eye."""
    out: list[str] = []
    told: list[Finding] = []
    for procedure in report.procedures:
        out += [*verdict_lines(procedure, look), ""]
        for finding in procedure.findings:
            out += [*finding_lines(finding, look), ""]
            told.append(finding)
        out += [_rule(look), ""]
    # Findings of the input have no procedure, or one that could not be checked.
    rest = [finding for finding in report.findings if finding not in told]
    if rest:
        out += [look.paint("In the files", "strong"), ""]
        for finding in rest:
            out += [*finding_lines(finding, look), ""]
        out += [_rule(look), ""]
    out += summary_lines(report, look, threshold)
    text = "\n".join(line.rstrip() for line in out) + "\n"
    return text if look.full else plain_ascii(text)


def render_findings(report: CheckReport, look: Look, *, threshold: Severity = Severity.SERIOUS) -> str:
    """The findings and the sum, without the tables of verdicts: for work whose main result is files."""
    out: list[str] = []
    for finding in report.findings:
        out += [*finding_lines(finding, look), ""]
    out += summary_lines(report, look, threshold)
    text = "\n".join(line.rstrip() for line in out) + "\n"
    return text if look.full else plain_ascii(text)


def summary_lines(report: CheckReport, look: Look, threshold: Severity = Severity.SERIOUS) -> tuple[str, ...]:
    """The sum: how much was checked, how much there is to answer for, what was left undecided, and the
    notice."""
    checked = sum(1 for procedure in report.procedures if procedure.checked)
    wording = len(report.procedures) - checked
    scope = f"{_count(checked, 'procedure')} checked as of {report.as_of.isoformat()}"
    if wording:
        scope += f", {wording} wording only (order not checked)"
    out = [*wrap(f"{scope}.", look.width)]
    code = report.exit_code(threshold)
    sentence, how = _sum(report, code)
    out += [look.paint(line, how) for line in wrap(sentence, look.width)]
    out += [look.paint(line, "faint") for line in wrap(NOTICE, look.width)]
    return tuple(out)


def _sum(report: CheckReport, code: int) -> tuple[str, str]:
    counts = Counter(finding.severity for finding in report.findings if not finding.waived)
    waived = sum(1 for finding in report.findings if finding.waived)
    tally = ", ".join(f"{counts[level]} {level.word}" for level in sorted(Severity, reverse=True) if counts[level])
    undecided = sum(1 for p in report.procedures for v in p.verdicts if v.status is Status.NOT_DECIDED)
    parts: list[str] = []
    if any(finding.unusable for finding in report.findings):
        parts.append("Some of the input could not be read, so this is not a full check.")
    if tally:
        parts.append(f"{_count(sum(counts.values()), 'finding')}: {tally}.")
    if waived:
        parts.append(f"{_count(waived, 'finding')} WAIVED: found, shown, and not counted.")
    if report.accepted:
        parts.append(f"{_count(report.accepted, 'accepted finding')} of writing not shown (accepted.yaml).")
    if undecided:
        parts.append(f"{_count(undecided, 'verdict')} NOT DECIDED, which is not the same as safe.")
    checked = any(procedure.checked for procedure in report.procedures)
    if not parts and checked:
        parts.append("No unsafe order found in the model (complete search).")
    how = "doubt" if code in (0, 3) else "bad"
    if len(parts) == 1 and report.accepted and checked:
        parts.append("Else no unsafe order found in the model (complete search).")
    good = code == 0 and not tally and not waived and checked
    return " ".join(parts or ["Nothing was checked."]), "good" if good else how


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _rule(look: Look) -> str:
    return look.paint(("─" if look.full else "-") * look.width, "faint")
