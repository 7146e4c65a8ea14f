"""One finding: where, how bad, what is wrong, how to mend it, and the order that leads there."""

from __future__ import annotations

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.render.text.look import Look
from stepwell.render.text.traces import trace_lines
from stepwell.render.text.wrap import wrap


def finding_lines(finding: Finding, look: Look) -> tuple[str, ...]:
    """The finding as lines; the first begins with ``path:line:column`` so that editors can jump there."""
    place = f"{finding.span}: " if finding.span else f"{finding.procedure}: " if finding.procedure else ""
    signal = "CAN'T READ" if finding.unusable else finding.signal
    head = list(wrap(f"{place}{signal} {finding.message} [{finding.code} {finding.rule}]", look.width, "", "    "))
    how = "bad" if finding.unusable or finding.severity > Severity.MINOR else "doubt"
    for number, line in enumerate(head):
        if signal in line:
            head[number] = line.replace(signal, look.paint(signal, how), 1)
            break
    out = head
    if finding.waived:
        out += wrap(finding.waived, look.width, "    WAIVED by ", "              ")
    if finding.mend:
        out += wrap(finding.mend, look.width, "    To mend: ", "             ")
    if finding.repair is not None:
        out += wrap(finding.repair.sentence, look.width, "    Repair: ", "            ")
        for note in finding.repair.notes:
            out += wrap(note, look.width, "            ")
    if finding.unmended:
        out += wrap(finding.unmended, look.width, "    No repair: ", "               ")
    told = {line.step for line in finding.trace.lines if line.mark} if finding.trace else set()
    for related in finding.related:
        if related.step in told:
            continue  # the order below marks it
        where = f"{related.span}: " if related.span else ""
        step = f" [{related.step}]" if related.step and related.step not in related.message else ""
        out += wrap(f"{where}{related.message}{step}", look.width, "    See also: ", "              ")
    if finding.trace:
        out += ["", *trace_lines(finding.trace, look)]
    return tuple(out)
