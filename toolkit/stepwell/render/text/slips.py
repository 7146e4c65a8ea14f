"""The matrix of slips as text: one row per step, one column per sort, then what harms in silence."""

from __future__ import annotations

from collections.abc import Sequence

from stepwell.diagnostics.finding import Finding
from stepwell.model.slip import Sort
from stepwell.render.text.findings import finding_lines
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import columns, pad, plain_ascii, wrap
from stepwell.slips.answers import Answers, How
from stepwell.slips.results import Outcome, Slip
from stepwell.slips.words import harm, how_wrong, name, names, number

HEADS = {
    Sort.OMITTED: "omitted",
    Sort.EARLY: "too early",
    Sort.TWICE: "twice",
    Sort.LOOK_ALIKE: "look-alike",
    Sort.UNCHECKED: "unchecked",
}
KEY = (
    "stopped: a later action can't be done; caught: another step or a hold is not met; only catch: nothing else"
    " notices some other slip; end missed: no rule is violated, but the card's own ends are not reached; waived: fatal,"
    " and waived by name; second: fatal, and only a second person who confirms would notice. Numbers are those of the"
    " steps on the page. A step's own check does not count as a catch of its own slip."
)


def render_slips(answers: Answers, look: Look) -> str:
    """The slips of one procedure as text that ends in a newline; the headline comes last."""
    report = answers.report
    out = [look.paint(line, "strong") for line in wrap(f"Slips: {report.title}", look.width)]
    out += ["", *_matrix(answers, look), ""]
    out += [look.paint(line, "faint") for line in wrap(KEY, look.width)]
    silent = [slip for slip in report.slips if slip.outcome is Outcome.SILENT]
    if silent:
        out += ["", look.paint("Harm that nothing in the model notices", "strong")]
    for slip in sorted(silent, key=lambda one: -(one.severity or 0)):
        out += wrap(f"Step {name(slip.step, report)} {how_wrong(slip)}: {harm(slip, report)}.", look.width, "  ", "    ")
        for line in answer_lines(slip, answers):
            out += wrap(line, look.width, "    ", "      ")
    out.append("")
    if report.critical:
        out += wrap(f"Critical steps: {names(report.critical, report)}.", look.width)
    bad = answers.findings or answers.count(How.NOTHING)
    how = "bad" if bad else "doubt" if report.fatal_silent or report.undecided else "good"
    out += [look.paint(line, how) for line in wrap(headline(answers), look.width)]
    for finding in answers.findings:
        out += ["", *finding_lines(finding, look)]
    text = "\n".join(line.rstrip() for line in out) + "\n"
    return text if look.full else plain_ascii(text)


def render_slips_sum(every: Sequence[Answers], findings: Sequence[Finding], look: Look) -> str:
    """The sum over all procedures as text that ends in a newline, led by those ``findings`` that are of none of them."""
    shown = [finding for one in every for finding in one.findings]
    out: list[str] = []
    for finding in findings:
        if finding not in shown:
            out += [*finding_lines(finding, look), ""]
    how = "bad" if findings else "good"
    silent, fatal = (sum(one.report.fatal_silent for one in every), sum(one.report.fatal_total for one in every))
    said = f"In all procedures: fatal slips that nothing in the model catches: {silent} of {fatal}."
    said += _answers(every, silent) + _undecided(sum(one.report.undecided for one in every))
    count = f"{len(findings)} finding{'' if len(findings) == 1 else 's'}" if findings else "Nothing"
    out += [look.paint(line, how) for line in wrap(f"{said} {count} to answer for in slips.", look.width)]
    text = "\n".join(line.rstrip() for line in out) + "\n"
    return text if look.full else plain_ascii(text)


def headline(answers: Answers) -> str:
    """How many fatal slips nothing catches and what answers for them, and how many slips were left undecided."""
    report = answers.report
    said = f"Fatal slips that nothing in the model catches: {report.fatal_silent} of {report.fatal_total}."
    return said + _answers((answers,), report.fatal_silent) + _undecided(report.undecided)


def _answers(every: Sequence[Answers], silent: int) -> str:
    if not silent:
        return ""
    waived, confirmed, nothing = (sum(one.count(how) for one in every) for how in How)
    return f" Of these {waived} waived by name, {confirmed} leaning on a confirmation, {nothing} not answered for."


def _undecided(count: int) -> str:
    noun = "slip" if count == 1 else "slips"
    return f" {count} {noun} NOT DECIDED: the search was stopped before its end." if count else ""


def answer_lines(slip: Slip, answers: Answers) -> tuple[str, ...]:
    """What answers for a slip, in sentences; nothing where it needs no answer."""
    answer = answers.answer(slip)
    if answer is None:
        return ()
    waived = tuple(f"Waived by {one}" for one in answer.waivers)
    match answer.how:
        case How.WAIVED:
            return waived
        case How.CONFIRMED:
            where = names(slip.confirmed_by, answers.report)
            return (*waived, f"Leans on the confirmation at step {where}.")
        case How.NOTHING:
            return (*waived, "NOT ANSWERED FOR.")


def _matrix(answers: Answers, look: Look) -> list[str]:
    report = answers.report
    rows: list[list[str]] = [["step", *HEADS.values()]]
    for at, step in enumerate(report.steps, 1):
        slips = [report.slip(step, sort) for sort in HEADS]
        if any(slips):
            rows.append([f"{at:>2} {step}", *(_cell(slip, answers) for slip in slips)])
    widths = _widths(rows)
    if sum(widths) + 2 * len(widths) - 2 > look.width:
        rows = [[cell.replace(" at ", " ") for cell in row] for row in rows]
        widths = _widths(rows)
    return ["  ".join(pad(cell, width) for cell, width in zip(row, widths, strict=True)) for row in rows]


def _widths(rows: list[list[str]]) -> list[int]:
    return [max(columns(row[at]) for row in rows) for at in range(len(rows[0]))]


_ANSWERED = {How.WAIVED: "waived", How.CONFIRMED: "second", How.NOTHING: "FATAL"}


def _cell(slip: Slip | None, answers: Answers) -> str:
    if slip is None:
        return "-"
    answer = answers.answer(slip)
    match slip.outcome:
        case Outcome.SILENT:
            return f"{'harm' if answer is None else _ANSWERED[answer.how]} {slip.code}"
        case Outcome.STOPPED | Outcome.CAUGHT:
            return f"{slip.outcome.value} at {number(slip.where, answers.report)}"
        case Outcome.HARMLESS if slip.misses_end:
            return "end missed"
        case Outcome.UNDECIDED:
            return "UNDECIDED"
        case _:
            return slip.outcome.value
