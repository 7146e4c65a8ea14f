"""The folder ``translations`` of a unit."""

from __future__ import annotations

from pathlib import Path

from stepwell.model.texts import contexts_of, texts_of
from stepwell.model.translation import Translation
from stepwell.model.workspace import Workspace
from stepwell.source import translation_faults as faults
from stepwell.source.decode import decode
from stepwell.source.files import read_bytes, shown
from stepwell.source.near import quote
from stepwell.source.notes import EnoughError, Notes
from stepwell.source.read_fixed_words import fixed_words, languages
from stepwell.source.read_translation import read_translation

FOLDER = "translations"
SUFFIX = ".po"


def translation_path(root: Path, language: str) -> Path:
    """Where the translation into a language lies."""
    return root / FOLDER / f"{language}{SUFFIX}"


def read_translations(root: Path, workspace: Workspace, *, whole: bool) -> tuple[tuple[Translation, ...], list[Notes]]:
    """Every translation of the unit, with the findings on it. ``whole``: all of the unit could be read."""
    found: list[Translation] = []
    noted: list[Notes] = []
    known = contexts_of(texts_of(workspace)) if whole else None
    for path in sorted((root / FOLDER).glob(f"*{SUFFIX}")):
        if path.name.startswith((".", "~")):
            continue
        notes = Notes(shown(path))
        noted.append(notes)
        data = read_bytes(path, root, notes)
        text = None if data is None else decode(data, notes)
        if text is not None:
            try:
                _languages(path.stem, notes, workspace)
                found.append(read_translation(text, notes, fixed_words(path.stem), known, path.stem))
            except EnoughError:
                found.append(Translation(language=path.stem, texts=(), path=notes.path))
        notes.forgive()
    return tuple(found), noted


def _languages(code: str, notes: Notes, workspace: Workspace) -> None:
    if code not in workspace.unit.languages:
        notes.add(
            faults.NOT_LISTED,
            notes.top(),
            f"unit.yaml does not list the language {quote(code)}, so nothing is built in it.",
            f"Write `languages: [{', '.join((*workspace.unit.languages, code))}]` in unit.yaml, or delete this file.",
        )
    elif code not in languages():
        notes.add(
            faults.NO_FIXED_WORDS,
            notes.top(),
            f"The tool has no words of its own in {quote(code)}; labels such as “Use when” stand in English.",
            "Its own words are in English and German.",
        )
