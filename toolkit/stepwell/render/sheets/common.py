"""What every sheet says at its foot, and small helpers."""

from __future__ import annotations

from datetime import date

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.layout import Layout
from stepwell.model.rig import Rig
from stepwell.publish.notice import notice_lines
from stepwell.publish.sheet import Sheet
from stepwell.render.sheets.document import Row, Tick, Words
from stepwell.report.results import ProcedureReport, StepPicture


def sheet_foot(sheet: Sheet, as_of: date) -> tuple[str, ...]:
    """The foot of a sheet about one procedure."""
    return (
        f"{sheet.title}, {sheet.id} {sheet.version}, code {sheet.short_hash}",
        f"{sheet.unit}. Copy of {as_of.isoformat()}. For {sheet.rig.sentence}.",
        *sheet.notice,
    )


def rig_foot(rig: Rig, unit: str, notice: str, as_of: date) -> tuple[str, ...]:
    """The foot of a sheet about one set."""
    seen = f"inspected {rig.inspected.isoformat()}" if rig.inspected else "not inspected"
    return (
        f"{rig.title}, {rig.id} {rig.version}",
        f"{unit}. Copy of {as_of.isoformat()}. The set's file: {seen}.",
        *notice_lines(notice),
    )


def unit_foot(unit: str, notice: str, as_of: date) -> tuple[str, ...]:
    """The foot of a sheet about the whole library."""
    return (unit, f"Copy of {as_of.isoformat()}. Paper may be out of date: compare the codes.", *notice_lines(notice))


def ticked(*cells: str, boxes: int = 1, strong: int = 0) -> Row:
    """A row of words with boxes behind them; the cell numbered ``strong`` is bold."""
    words = tuple(Words(words=one, strong=at == strong) for at, one in enumerate(cells))
    return Row(cells=(*words, *(Tick() for _ in range(boxes))))


def known_states(rig: Rig | None, report: ProcedureReport | None) -> tuple[Layout, dict[str, StepPicture]] | None:
    """The rig's layout and the steps whose states can be drawn on it, in order; None where there are none."""
    if rig is None or report is None or not any(one.after for one in report.pictures):
        return None
    layout = compile_rig(rig)
    states = {one.step: one for one in report.pictures if len(one.after) == len(layout.variables)}
    return (layout, states) if states else None
