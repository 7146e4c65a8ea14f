"""The table of hazards as Markdown: hazard, rule and shape, where the unit's procedures control it, source and mark."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.rule import Source
from stepwell.report.hazard_table import Control, HazardRow, Watch
from stepwell.report.results import Status

NO_RULE = "no rule: look after it by other means"
HEAD = ("Hazard", "At worst", "Rule", "Shape", "Where it is controlled", "Source (mark)")


def render_hazards(rows: tuple[HazardRow, ...]) -> str:
    """One table per phase of the work, then how many hazards have a rule. Ends in a newline."""
    lines = ["# Hazards and the rules that watch for them", ""]
    for phase in dict.fromkeys(row.hazard.phase for row in rows):
        lines += [f"## {phase[:1].upper()}{phase[1:]}", "", _row(HEAD), _row(tuple("---" for _ in HEAD))]
        lines += [line for row in rows if row.hazard.phase == phase for line in _hazard(row)]
        lines.append("")
    watched = sum(1 for row in rows if row.watches)
    lines.append(f"{watched} of {len(rows)} hazards have a rule. A rule covers what its own page says, not more.")
    return "\n".join(lines) + "\n"


def _hazard(row: HazardRow) -> Iterator[str]:
    hazard = row.hazard
    name = f"{hazard.number} {hazard.text}"
    if not row.watches:
        yield _row((name, hazard.severity.word, NO_RULE, "", "", ""))
    for number, watch in enumerate(row.watches):
        first = (name, hazard.severity.word) if not number else ("", "")
        yield _row((*first, f"{watch.rule} ({watch.code})", watch.shape, _where(watch), _sources(watch.sources)))


def _where(watch: Watch) -> str:
    """Steps first; the procedures in which no single step stands between them and the hazard are only counted."""
    told = [_control(control) for control in watch.controls if control.status is not Status.HOLDS or control.step]
    others = sum(1 for control in watch.controls if control.status is Status.HOLDS and not control.step)
    if others:
        noun = "procedure" if others == 1 else "procedures"
        told.append(f"{others} {'other ' if told else ''}{noun} by no single step")
    return "; ".join(told) or "not in these procedures"


def _control(control: Control) -> str:
    if control.status is Status.HOLDS:
        return f"{control.procedure}, step {control.step}"
    return f"{control.procedure}: {control.status.value.upper()}"


def _sources(sources: tuple[Source, ...]) -> str:
    return "; ".join(f"{source.text.rstrip('.')} ({source.mark})" for source in sources)


def _row(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in cells) + " |"
