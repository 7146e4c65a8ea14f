"""All sheets of the sorts that were asked for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import Sheet
from stepwell.render.sheets.document import Document
from stepwell.render.sheets.index import indexes
from stepwell.render.sheets.inspection import inspection
from stepwell.render.sheets.kit import kit_list
from stepwell.render.sheets.labels import labels
from stepwell.render.sheets.trainer import Lesson, trainer_sheet
from stepwell.report.results import CheckReport
from stepwell.slips.answers import Answers


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What sheets are made from. ``slips`` go by procedure; where there are none, trainers' sheets say so."""

    workspace: Workspace
    report: CheckReport
    sheets: Sequence[Sheet]
    slips: Mapping[str, Answers]
    as_of: date


def documents(source: Source, sorts: Collection[str]) -> tuple[Document, ...]:
    """The sheets of ``sorts`` (``kit``, ``trainer``, ``inspection``, ``index``, ``labels``), in that order."""
    unit, as_of = source.workspace.unit, source.as_of
    out: list[Document] = []
    if "kit" in sorts:
        lists = (kit_list(one.sheet, one.rig, one.report, as_of) for one in _lessons(source))
        out += [made for made in lists if made is not None]
    if "trainer" in sorts:
        out += [trainer_sheet(lesson) for lesson in _lessons(source)]
    if "inspection" in sorts:
        language = unit.languages[0] if unit.languages else "en"
        out += [inspection(rig, unit.name, unit.notice, language, as_of) for rig in source.workspace.rigs]
    if "index" in sorts:
        out += indexes(source.sheets, unit.name, unit.notice, as_of)
    if "labels" in sorts and (made := labels(source.sheets, unit.name, unit.notice, as_of)) is not None:
        out.append(made)
    return tuple(out)


def _lessons(source: Source) -> list[Lesson]:
    rigs = {rig.id: rig for rig in source.workspace.rigs}
    of = {procedure.id: rigs.get(procedure.rig) for procedure in source.workspace.procedures}
    reports = {one.procedure: one for one in source.report.procedures}
    rules = {rule.name: rule for rule in source.workspace.rules}
    return [
        Lesson(
            sheet=sheet,
            rig=of.get(sheet.id),
            report=reports.get(sheet.id),
            slips=source.slips.get(sheet.id),
            rules=rules,
            as_of=source.as_of,
        )
        for sheet in source.sheets
    ]
