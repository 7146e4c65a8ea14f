"""A unit's texts in another language; whatever is not confirmed stands in English with a mark before it."""

from __future__ import annotations

from dataclasses import replace

from stepwell.model.language import MARK, Language
from stepwell.model.procedure import Text, Words
from stepwell.model.texts import Place, cut, with_texts, written
from stepwell.model.workspace import Workspace


def language_of(workspace: Workspace, fixed: Language) -> Language:
    """The language with the unit's texts added to its fixed words."""
    for one in workspace.translations:
        if one.language == fixed.code:
            return replace(fixed, texts={(text.context, text.english): text.words for text in one.texts})
    return fixed


def in_language(workspace: Workspace, language: Language) -> Workspace:
    """The workspace with every text that a reader sees in ``language``; nothing else of it is changed."""
    if language.english:
        return workspace

    def change(place: Place, words: Words) -> Words:
        found = language.texts.get((place.context, written(words)))
        return (Text(MARK), *words) if found is None else cut(found, words)

    return with_texts(workspace, change)
