"""The matrix of slips as text: one row per step, one column per sort, then what harms in silence."""

from __future__ import annotations

from stepwell.diagnostics.severity import Severity
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import columns, pad, plain_ascii, wrap
from stepwell.slips.results import Outcome, Slip, SlipReport, Sort

HEADS = {
    Sort.OMITTED: "omitted",
    Sort.EARLY: "too early",
    Sort.TWICE: "twice",
    Sort.LOOK_ALIKE: "look-alike",
    Sort.UNCHECKED: "unchecked",
}
KEY = (
    "stopped: a later action can't be done; caught: another step or a hold is not met; only catch: nothing else"
    " notices some other slip; end missed: no rule is violated, but the card's own ends are not reached. Numbers"
    " are those of the steps on the page. A step's own check does not count as a catch of its own slip."
)


def render_slips(report: SlipReport, look: Look) -> str:
    """The slips of one procedure as text that ends in a newline; the headline comes last."""
    out = [look.paint(line, "strong") for line in wrap(f"Slips: {report.title}", look.width)]
    out += ["", *_matrix(report, look), ""]
    out += [look.paint(line, "faint") for line in wrap(KEY, look.width)]
    silent = [slip for slip in report.slips if slip.outcome is Outcome.SILENT]
    if silent:
        out += ["", look.paint("Harm that nothing in the model notices", "strong")]
    for slip in sorted(silent, key=lambda one: -(one.severity or 0)):
        out += wrap(_sentence(slip, report), look.width, "  ", "    ")
    out.append("")
    if report.critical:
        steps = ", ".join(_name(step, report) for step in report.critical)
        out += wrap(f"Critical steps: {steps}.", look.width)
    how = "bad" if report.fatal_silent else "doubt" if report.undecided else "good"
    out += [look.paint(line, how) for line in wrap(headline(report), look.width)]
    text = "\n".join(line.rstrip() for line in out) + "\n"
    return text if look.full else plain_ascii(text)


def headline(report: SlipReport) -> str:
    """How many fatal slips nothing catches, and how many slips were left undecided."""
    said = f"Fatal slips that nothing in the model catches: {report.fatal_silent} of {report.fatal_total}."
    if report.undecided:
        noun = "slip" if report.undecided == 1 else "slips"
        said += f" {report.undecided} {noun} NOT DECIDED: the search was stopped before its end."
    return said


def _matrix(report: SlipReport, look: Look) -> list[str]:
    rows: list[list[str]] = [["step", *HEADS.values()]]
    for number, step in enumerate(report.steps, 1):
        slips = [report.slip(step, sort) for sort in HEADS]
        if any(slips):
            rows.append([f"{number:>2} {step}", *(_cell(slip, report) for slip in slips)])
    widths = _widths(rows)
    if sum(widths) + 2 * len(widths) - 2 > look.width:
        rows = [[cell.replace(" at ", " ") for cell in row] for row in rows]
        widths = _widths(rows)
    return ["  ".join(pad(cell, width) for cell, width in zip(row, widths, strict=True)) for row in rows]


def _widths(rows: list[list[str]]) -> list[int]:
    return [max(columns(row[at]) for row in rows) for at in range(len(rows[0]))]


def _cell(slip: Slip | None, report: SlipReport) -> str:
    if slip is None:
        return "-"
    match slip.outcome:
        case Outcome.SILENT:
            return f"{'FATAL' if slip.severity is Severity.FATAL else 'harm'} {slip.code}"
        case Outcome.STOPPED | Outcome.CAUGHT:
            return f"{slip.outcome.value} at {_number(slip.where, report)}"
        case Outcome.HARMLESS if slip.misses_end:
            return "end missed"
        case Outcome.UNDECIDED:
            return "UNDECIDED"
        case _:
            return slip.outcome.value


def _number(where: str | None, report: SlipReport) -> str:
    """A step's number on the page; a hold has none and is called by its id."""
    return str(report.steps.index(where) + 1) if where in report.steps else where or "the end"


def _name(step: str, report: SlipReport) -> str:
    return f"{_number(step, report)} ({step})"


def _sentence(slip: Slip, report: SlipReport) -> str:
    match slip.sort:
        case Sort.OMITTED:
            what = "left out"
        case Sort.EARLY:
            what = f"done too early, {slip.detail}"
        case Sort.TWICE:
            what = "done twice"
        case Sort.LOOK_ALIKE:
            what = f"done to {slip.detail}"
        case Sort.UNCHECKED:
            what = "not checked"
    where = "at the end" if slip.where is None else f"at step {_name(slip.where, report)}"
    word = "" if slip.severity is None else slip.severity.word
    return f"Step {_name(slip.step, report)} {what}: {slip.rule} ({slip.code}, {word}) {where}."
