"""The pages about the whole library: what is due, and how the cards lead to each other."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

from stepwell.model.procedure import Otherwise, Procedure, Starts
from stepwell.publish.library_graph import graph_of
from stepwell.publish.shelf import Shelf, ShelfCard
from stepwell.render.site.build import SiteResult, build_site
from stepwell.render.site.graph_picture import LEFT, RIGHT, WIDTH, graph_picture
from tests.site.library import library
from tests.site.test_pages import read
from tests.site.unit import AIR, AS_OF, PRIME, REPORT, SMALL, WORKSPACE

WORDS = {
    "title": "All <cards>",
    "routine": "Procedures",
    "check": "Checks",
    "emergency": "Emergencies",
    "alone": "nothing leads here",
}
SVG = "{http://www.w3.org/2000/svg}"


def test_home_leads_to_both(site: tuple[Path, SiteResult]) -> None:
    links = {attrs.get("href") for tag, attrs in read(site, "index.html")[1] if tag == "a"}
    assert {"due.html", "library.html", "sums.html"} <= links


def test_what_is_due_is_told_and_taken_into_a_calendar(tmp_path: Path) -> None:
    shelf = Shelf(cards=(ShelfCard(procedure=AIR.id, version="0.9.0", code="a" * 12, review=AS_OF.replace(month=10)),))
    site = tmp_path, build_site(WORKSPACE, REPORT, as_of=AS_OF, out=tmp_path, shelf=shelf)
    text, _ = read(site, "due.html")
    assert "2026-10-24 overdue Review of the card Air in the return line Version 0.9.0 is in force" in text
    assert "No day can be told for these." in text
    days = (tmp_path / "due.ics").read_bytes().decode()
    assert "DTSTART;VALUE=DATE:20261024" in days
    assert "SUMMARY:Review of the card: Air in the return line" in days
    assert "not whole" not in text
    broken = replace(shelf, trouble=True)
    site = tmp_path / "b", build_site(WORKSPACE, REPORT, as_of=AS_OF, out=tmp_path / "b", shelf=broken)
    assert "The list of releases is not whole" in read(site, "due.html")[0]


def test_the_table_says_what_the_picture_shows(site: tuple[Path, SiteResult]) -> None:
    text, tags = read(site, "library.html")
    assert "Line 7, “Yes, a column of air”: Air in the return line" in text
    assert "Prime the adult set , line 7" in text
    assert "Emergencies that no card leads to" in text
    image = next(attrs for tag, attrs in tags if tag == "img")
    root = ElementTree.fromstring((site[0] / str(image["src"])).read_text(encoding="utf-8"))
    assert root.attrib["viewBox"] == f"0 0 {image['width']} {image['height']}"
    drawn = " ".join(node.text or "" for node in root.iter(f"{SVG}text"))
    for procedure in WORKSPACE.procedures:
        assert all(word in drawn for word in procedure.title.split())
    assert drawn.count("no card leads here") == len(graph_of(WORKSPACE).reached_by_none) > 0


def crowd(count: int) -> tuple[Procedure, ...]:
    """Many cards in one chain, each with a way to the first emergency, and hostile titles."""
    (step,) = SMALL[3].body
    chain = tuple(
        replace(
            SMALL[3],
            id=f"c{n}",
            title=f"Card {n} <script>&\x00\ud800 of the many in the library",
            starts=Starts(procedure=f"c{n * 7 % count}") if n else None,
            body=(replace(step, if_not=Otherwise(card=("a", "b", "c")[n % 3])),),
        )
        for n in range(count)
    )
    return (*chain, *(replace(SMALL[0], id=name, title=name) for name in "abc"))


def test_the_picture_is_whole_for_any_library_and_stays_inside_itself() -> None:
    for procedures in ((), library().procedures, crowd(40), (PRIME,)):
        graph = graph_of(replace(WORKSPACE, procedures=procedures))
        picture, width, height = graph_picture(graph, WORDS)
        root = ElementTree.fromstring(picture)
        assert (picture, width) == (graph_picture(graph, WORDS)[0], WIDTH)
        assert len(root.findall(f"{SVG}rect")) == 1 + len(graph.nodes)
        ways = {(lead.source, lead.target, lead.way) for lead in graph.leads if lead not in graph.dangling}
        assert len(root.findall(f"{SVG}path")) == 2 * len(ways), "a bow and its head for every way"
        for path in root.findall(f"{SVG}path"):
            if path.attrib.get("fill") == "none":
                across = [float(x) for x in re.findall(r"H(-?\d+(?:\.\d+)?)", path.attrib["d"])]
                assert all(0 <= x <= width for x in across)
                assert all(x <= LEFT or x >= RIGHT for x in across), "no bow runs through a box"
        bottoms = [float(one.attrib["y"]) + float(one.attrib["height"]) for one in root.findall(f"{SVG}rect")]
        assert max(bottoms) <= height + 0.5


def test_boxes_do_not_overlap() -> None:
    picture, _, _ = graph_picture(graph_of(library()), WORDS)
    boxes = [
        (float(one.attrib["y"]), float(one.attrib["y"]) + float(one.attrib["height"]))
        for one in ElementTree.fromstring(picture).findall(f"{SVG}rect")[1:]
    ]
    assert all(above[1] + 8 <= below[0] for above, below in pairwise(boxes))
