"""All sheets of the sorts that were asked for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from stepwell.model.language import ENGLISH, Language
from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import Sheet
from stepwell.render.sheets.document import Document, Note
from stepwell.render.sheets.index import indexes
from stepwell.render.sheets.inspection import inspection
from stepwell.render.sheets.kit import kit_list
from stepwell.render.sheets.labels import labels
from stepwell.render.sheets.trainer import Lesson, trainer_sheet
from stepwell.report.results import CheckReport
from stepwell.slips.answers import Answers


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What sheets are made from, with ``workspace`` and ``sheets`` in ``language``.

    ``slips`` go by procedure; where there are none, trainers' sheets say so. ``in_english`` is the same in English, for
    trainers' sheets: what they say of slips, rules and waivers is in English alone. It is needed for them only, and only
    where ``language`` is another.
    """

    workspace: Workspace
    report: CheckReport
    sheets: Sequence[Sheet]
    slips: Mapping[str, Answers]
    as_of: date
    language: Language = ENGLISH
    in_english: Source | None = None


def documents(source: Source, sorts: Collection[str]) -> tuple[Document, ...]:
    """The sheets of ``sorts`` (``kit``, ``trainer``, ``inspection``, ``index``, ``labels``), in that order."""
    unit, language, as_of = source.workspace.unit, source.language, source.as_of
    out: list[Document] = []
    if "kit" in sorts:
        lists = (kit_list(one.sheet, one.rig, one.report, as_of) for one in _lessons(source))
        out += [made for made in lists if made is not None]
    if "trainer" in sorts:
        out += _trainers(source)
    if "inspection" in sorts:
        out += [inspection(rig, unit.name, unit.notice, language, as_of) for rig in source.workspace.rigs]
    if "index" in sorts:
        out += indexes(source.sheets, unit.name, unit.notice, language, as_of)
    if "labels" in sorts and (made := labels(source.sheets, unit.name, unit.notice, language, as_of)) is not None:
        out.append(made)
    return tuple(out)


def _trainers(source: Source) -> list[Document]:
    if source.language.english:
        return [trainer_sheet(lesson) for lesson in _lessons(source)]
    if source.in_english is None:
        raise ValueError("Trainers' sheets are made from the English sheets, which are missing.")
    told = source.language.say("sheet", "This sheet is in English alone; its code is that of the English card.")
    note = Note(words=told, language=source.language.code)
    made = [trainer_sheet(lesson) for lesson in _lessons(source.in_english)]
    return [replace(one, blocks=(one.blocks[0], note, *one.blocks[1:])) for one in made]


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
