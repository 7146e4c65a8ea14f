"""Sheets of the example unit, pressed once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from time import monotonic

from stepwell.publish.build import build_sheet
from stepwell.publish.translated import in_language, language_of
from stepwell.render.sheets.document import Document
from stepwell.render.sheets.make import Source, documents
from stepwell.render.sheets.press import SheetResult, press
from stepwell.report.check import Options, check_workspace
from stepwell.slips.answers import answered
from stepwell.slips.find import find_slips
from stepwell.source.read_fixed_words import fixed_words
from stepwell.source.workspace import load_workspace

AS_OF = date(2026, 11, 25)
PROTOCOLS = Path(__file__).parent.parent.parent / "protocols"
SORTS = ("kit", "trainer", "inspection", "index", "labels")
CHOSEN = ("connect-va", "air-in-circuit", "pump-stopped", "gas-lost")


@cache
def source() -> Source:
    """The example unit with four of its procedures."""
    workspace = load_workspace(PROTOCOLS).workspace
    assert workspace is not None
    workspace = replace(workspace, procedures=tuple(one for one in workspace.procedures if one.id in CHOSEN))
    report = check_workspace(workspace, as_of=AS_OF, clock=monotonic, options=Options(bites=False))
    checked = {one.procedure: one for one in report.procedures}
    slips = {}
    for procedure in workspace.procedures:
        found = find_slips(workspace, procedure, clock=monotonic)
        if found is not None:
            slips[procedure.id] = answered(found, procedure, workspace.unit, workspace.waivers, AS_OF)
    return Source(
        workspace=workspace,
        report=report,
        sheets=tuple(build_sheet(workspace, one, checked.get(one.id), AS_OF) for one in workspace.procedures),
        slips=slips,
        as_of=AS_OF,
    )


@cache
def made() -> dict[str, tuple[Document, SheetResult]]:
    """Every sheet by its path."""
    return {document.path: (document, press(document, as_of=AS_OF)) for document in documents(source(), SORTS)}


@cache
def german_source() -> Source:
    """The same in German, by the unit's translation."""
    return in_german(source())


def in_german(english: Source, code: str = "de") -> Source:
    """A source in another language, which is German unless another is asked for."""
    language = language_of(english.workspace, fixed_words(code))
    there = in_language(english.workspace, language)
    checked = {one.procedure: one for one in english.report.procedures}
    sheets = tuple(build_sheet(there, one, checked.get(one.id), AS_OF, language=language) for one in there.procedures)
    return replace(english, workspace=there, sheets=sheets, language=language, in_english=english)


@cache
def german() -> dict[str, tuple[Document, SheetResult]]:
    """Every German sheet by its path."""
    return {document.path: (document, press(document, as_of=AS_OF)) for document in documents(german_source(), SORTS)}
