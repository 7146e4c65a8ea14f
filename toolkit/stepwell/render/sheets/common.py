"""What every sheet says at its foot, and small helpers."""

from __future__ import annotations

from datetime import date

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.layout import Layout
from stepwell.model.language import Language
from stepwell.model.rig import Rig
from stepwell.publish.notice import notice_lines
from stepwell.publish.sheet import Sheet
from stepwell.render.sheets.document import Row, Tick, Words
from stepwell.report.results import ProcedureReport, StepPicture
from stepwell.source.read_fixed_words import fixed_words


def sheet_foot(sheet: Sheet, as_of: date) -> tuple[str, ...]:
    """The foot of a sheet about one procedure, in the language of ``sheet``."""
    language = fixed_words(sheet.language)
    copy = language.say("card", "Copy of {day}.", day=language.day(as_of))
    written_for = language.say("card", "For {rig}.", rig=sheet.rig.sentence_in(language))
    return (f"{sheet.title}, {coded(sheet, language)}", f"{sheet.unit}. {copy} {written_for}", *sheet.notice)


def coded(sheet: Sheet, language: Language) -> str:
    """Which card and version, with the code to read out."""
    return language.say("sheet", "{card}, code {code}", card=f"{sheet.id} {sheet.version}", code=sheet.short_hash)


def rig_foot(rig: Rig, unit: str, notice: str, language: Language, as_of: date) -> tuple[str, ...]:
    """The foot of a sheet about one set; ``rig`` and ``notice`` are in ``language`` already."""
    if rig.inspected is None:
        seen = language.say("card", "not inspected")
    else:
        seen = language.say("card", "inspected {day}", day=language.day(rig.inspected))
    copy = language.say("card", "Copy of {day}.", day=language.day(as_of))
    file = language.say("sheet", "The set's file: {seen}.", seen=seen)
    return (
        f"{rig.title}, {rig.id} {rig.version}",
        f"{unit}. {copy} {file}",
        *notice_lines(notice, language),
    )


def unit_foot(unit: str, notice: str, language: Language, as_of: date) -> tuple[str, ...]:
    """The foot of a sheet about the whole library; ``notice`` is in ``language`` already."""
    copy = language.say("card", "Copy of {day}.", day=language.day(as_of))
    old = language.say("sheet", "Paper may be out of date: compare the codes.")
    return (unit, f"{copy} {old}", *notice_lines(notice, language))


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
