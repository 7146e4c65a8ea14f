"""A slip in words."""

from __future__ import annotations

from stepwell.model.slip import Sort
from stepwell.slips.results import Slip, SlipReport


def number(where: str | None, report: SlipReport) -> str:
    """A step's number on the page; a hold has none and is called by its id."""
    return str(report.steps.index(where) + 1) if where in report.steps else where or "the end"


def name(step: str, report: SlipReport) -> str:
    """Number and id of a step."""
    return f"{number(step, report)} ({step})"


def names(steps: tuple[str, ...], report: SlipReport) -> str:
    """Numbers and ids of steps."""
    return ", ".join(name(step, report) for step in steps)


def how_wrong(slip: Slip) -> str:
    """In what way the step goes wrong."""
    match slip.sort:
        case Sort.OMITTED:
            return "left out"
        case Sort.EARLY:
            return f"done too early, {slip.detail}"
        case Sort.TWICE:
            return "done twice"
        case Sort.LOOK_ALIKE:
            return f"done to {slip.detail}"
        case Sort.UNCHECKED:
            return "not checked"


def harm(slip: Slip, report: SlipReport) -> str:
    """The worst harm of a silent slip, and where it comes."""
    where = "at the end" if slip.where is None else f"at step {name(slip.where, report)}"
    word = "" if slip.severity is None else slip.severity.word
    return f"{slip.rule} ({slip.code}, {word}) {where}"
