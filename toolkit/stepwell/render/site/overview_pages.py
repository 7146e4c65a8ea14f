"""The pages about the library as a whole: what is due, and how the cards lead to each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from stepwell.model.workspace import Workspace
from stepwell.publish.calendar_file import calendar_file
from stepwell.publish.due import Due, Sort, due_of
from stepwell.publish.library_graph import LibraryGraph, Way, graph_of
from stepwell.publish.shelf import Shelf
from stepwell.render.site.graph_picture import graph_picture
from stepwell.render.site.page import Page

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


def overview(workspace: Workspace, shelf: Shelf, as_of: date, tool: str) -> Overview:
    """Everything that the pages are made from."""
    due, graph = due_of(workspace, shelf, as_of), graph_of(workspace)
    picture, width, height = graph_picture(graph, _GRAPH)
    told = ((one, f"{_DUE[one.sort]}: {one.title}") for one in due)
    days = calendar_file(workspace.unit.name, told, as_of, tool)
    return Overview(due=due, graph=graph, size=(width, height), files={GRAPH: picture.encode(), CALENDAR: days})


def overview_pages(made: Overview, hrefs: Mapping[str, str], as_of: date, *, draft: bool) -> Iterator[Page]:
    """Both pages. ``hrefs`` are the pages of procedures."""
    yield (
        "due.html",
        "due.html",
        {"title": "What is due", "draft": draft},
        {
            "dated": [one for one in made.due if one.day],
            "undated": [one for one in made.due if not one.day],
            "kinds": _DUE,
            "hrefs": hrefs,
            "as_of": as_of,
        },
    )
    yield (
        "library.html",
        "library.html",
        {"title": "How the cards lead to each other", "draft": draft},
        {
            "graph": made.graph,
            "ways": {way.name: way for way in Way},
            "titles": {node.id: node.title for node in made.graph.nodes},
            "hrefs": hrefs,
            "picture": GRAPH,
            "size": made.size,
            "kinds": _GRAPH,
        },
    )
