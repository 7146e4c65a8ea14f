"""The pages about the library as a whole: what is due, and how the cards lead to each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from stepwell.model.language import ENGLISH, Language
from stepwell.model.workspace import Workspace
from stepwell.publish.calendar_file import calendar_file
from stepwell.publish.due import Due, Sort, due_of
from stepwell.publish.library_graph import LibraryGraph, Way, graph_of
from stepwell.publish.shelf import Shelf
from stepwell.render.site.graph_picture import graph_picture
from stepwell.render.site.page import Page

K = TypeVar("K", bound=str)

GRAPH = "drawn/library.svg"
CALENDAR = "due.ics"

_DUE = {
    Sort.REVIEW: "Review of the card",
    Sort.INSPECTION: "Inspection of the set",
    Sort.WAIVER: "Waiver runs out",
    Sort.COPY: "Newer copy of these pages",
}
_GRAPH = {
    "title": "The cards of the library, and which leads to which. The table below the picture says the same.",
    "routine": "Procedures",
    "check": "Checks",
    "emergency": "Emergencies",
    "alone": "no card leads here",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """What is due, the graph, and the files that go with the two pages."""

    due: tuple[Due, ...]
    graph: LibraryGraph
    size: tuple[int, int]
    files: Mapping[str, bytes]


def overview(workspace: Workspace, shelf: Shelf, as_of: date, tool: str, language: Language = ENGLISH) -> Overview:
    """Everything that the pages are made from; the workspace is in the language."""
    due, graph = due_of(workspace, shelf, as_of, language), graph_of(workspace)
    picture, width, height = graph_picture(graph, _said(_GRAPH, language))
    kinds = _said(_DUE, language)
    told = ((one, f"{kinds[one.sort]}: {one.title}") for one in due)
    days = calendar_file(workspace.unit.name, told, as_of, tool)
    files = {_of(GRAPH, language): picture.encode(), _of(CALENDAR, language): days}
    return Overview(due=due, graph=graph, size=(width, height), files=files)


def overview_pages(made: Overview, hrefs: Mapping[str, str], as_of: date, language: Language) -> Iterator[Page]:
    """Both pages. ``hrefs`` are the pages of procedures, from the top of the site."""
    yield (
        "due.html",
        "due.html",
        {"title": language.say("site", "What is due")},
        {
            "dated": [one for one in made.due if one.day],
            "undated": [one for one in made.due if not one.day],
            "kinds": _said(_DUE, language),
            "hrefs": hrefs,
            "as_of": as_of,
            "calendar": _of(CALENDAR, language),
        },
    )
    yield (
        "library.html",
        "library.html",
        {"title": language.say("site", "How the cards lead to each other")},
        {
            "graph": made.graph,
            "ways": {way.name: way for way in Way},
            "titles": {node.id: node.title for node in made.graph.nodes},
            "hrefs": hrefs,
            "picture": _of(GRAPH, language),
            "size": made.size,
            "kinds": _said(_GRAPH, language),
        },
    )


def _of(path: str, language: Language) -> str:
    """The file's path in a language."""
    name, dot, kind = path.rpartition(".")
    return path if language.english else f"{name}-{language.code}{dot}{kind}"


def _said(words: Mapping[K, str], language: Language) -> dict[K, str]:
    return {key: language.say("site", text) for key, text in words.items()}
