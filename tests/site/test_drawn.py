"""Drawings on the site: a file per step, loaded when it comes into sight, and one for every unsafe moment."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from time import monotonic
from typing import Any
from xml.etree import ElementTree

import pytest

from stepwell.model.procedure import steps_of
from stepwell.model.workspace import Workspace
from stepwell.render.site.build import build_site
from stepwell.report.bites import blind, without_step
from stepwell.report.check import Options, check_workspace
from stepwell.report.results import CheckReport, Status
from stepwell.source.workspace import load_workspace
from tests.site.conftest import Tab

AS_OF = date(2026, 11, 25)
PROTOCOLS = Path(__file__).parent.parent.parent / "protocols"
IMAGE = re.compile(r'<img class="drawn" src="(?:\.\./)+([^"]+)" width="(\d+)" height="(\d+)" loading="lazy" alt="([^"]+)">')
SVG = "{http://www.w3.org/2000/svg}"


def checked(workspace: Workspace) -> CheckReport:
    return check_workspace(workspace, as_of=AS_OF, clock=monotonic, procedures=("connect-va",), options=Options(bites=False))


@pytest.fixture(scope="module")
def unit() -> Workspace:
    workspace = load_workspace(PROTOCOLS).workspace
    assert workspace is not None
    connect = next(one for one in workspace.procedures if one.id == "connect-va")
    return replace(workspace, procedures=(connect,))


@pytest.fixture(scope="module")
def site(unit: Workspace, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("drawn")
    build_site(unit, checked(unit), as_of=AS_OF, out=out)
    return out


def test_every_step_that_changes_something_has_its_drawing(site: Path, unit: Workspace) -> None:
    page = (site / "en" / "connect-va.html").read_text(encoding="utf-8")
    assert "<img" not in page, "drawings are put in when they are wanted"
    drawn = IMAGE.findall((site / "en" / "connect-va" / "circuit.html").read_text(encoding="utf-8"))
    later = (site / "en" / "connect-va" / "later.js").read_text(encoding="utf-8")
    told = json.loads(later.removeprefix("window.stepwellLater = ").removesuffix(";\n"))
    assert drawn == IMAGE.findall(told["start"] + "".join(told["pieces"].values()))
    assert "connect-va/circuit.html" in page, "who has no scripts finds them there"
    changing = [one.step for one in checked(unit).procedures[0].pictures if one.after != one.before]
    order = [step.id for step in steps_of(unit.procedures[0].body)]
    assert [name for name in order if name in changing] == changing
    assert [Path(path).stem for path, *_ in drawn if Path(path).stem != "start"] == changing
    made = {path.stem for path in (site / "drawn" / "connect-va").iterdir() if not path.stem.startswith("finding")}
    assert made == {"start", *changing}
    assert len(changing) >= 8
    for path, width, height, alt in drawn:
        root = ElementTree.fromstring((site / path).read_text(encoding="utf-8"))
        assert root.attrib["viewBox"] == f"0 0 {width} {height}"
        assert alt.startswith(("Circuit after step", "The circuit at the start"))
    assert len({(width, height) for _, width, height, _ in drawn}) == 1
    assert "../drawn/key.svg" in page
    assert (site / "drawn" / "key.svg").is_file()


def test_a_drawing_says_what_it_is_and_that_it_is_a_draft(site: Path) -> None:
    for path in (site / "drawn" / "connect-va").iterdir():
        words = path.read_text(encoding="utf-8")
        assert "DRAFT - NOT FOR USE" in words
        assert "not inspected" in words
        assert "<script" not in words


def test_pages_may_show_own_pictures_and_no_others(site: Path) -> None:
    assert "img-src 'self' file: data:;" in (site / "en" / "connect-va.html").read_text(encoding="utf-8")


def test_the_unsafe_moment_is_drawn(unit: Workspace, tmp_path: Path) -> None:
    connect = unit.procedures[0]
    shuts = next(step.id for step in steps_of(connect.body) if step.do and step.do[0].verb == "shut")
    broken = replace(unit, procedures=(replace(connect, body=blind(without_step(connect.body, shuts))),))
    report = checked(broken)
    assert any(one.status is Status.VIOLATED for one in report.procedures[0].verdicts)
    build_site(broken, report, as_of=AS_OF, out=tmp_path)
    drawn = IMAGE.findall((tmp_path / "check" / "connect-va.html").read_text(encoding="utf-8"))
    assert drawn
    framed = 0
    for path, _, _, alt in drawn:
        root = ElementTree.fromstring((tmp_path / path).read_text(encoding="utf-8"))
        assert (root.findtext(f"{SVG}title") or "").count("At that moment: ") == 1
        assert alt == "The circuit at that moment"
        framed += any(one.attrib.get("rx") == "6" for one in root.iter(f"{SVG}rect"))
    assert framed, "what a finding is about is framed"


def test_a_rebuild_draws_the_same_bytes(site: Path, unit: Workspace, tmp_path: Path) -> None:
    build_site(unit, checked(unit), as_of=AS_OF, out=tmp_path)
    for path in (site / "drawn").rglob("*.svg"):
        assert path.read_bytes() == (tmp_path / path.relative_to(site)).read_bytes()


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 375, 1280])
def test_drawings_load_when_they_are_wanted_and_fit_the_screen(chromium: Any, site: Path, width: int) -> None:
    context = chromium.new_context(viewport={"width": width, "height": 740})
    tab = Tab(context)
    page = tab.page
    page.goto((site / "en" / "connect-va.html").as_uri())
    assert not [address for address in tab.asked if address.endswith(".svg")]
    page.click("#circuit")
    last = page.locator("img.drawn").last
    last.scroll_into_view_if_needed()
    last.evaluate("image => image.decode()")
    assert last.evaluate("image => image.naturalWidth") == 500
    assert page.evaluate("document.documentElement.scrollWidth") == width
    box = last.bounding_box()
    assert box["width"] * 16 / 500 >= 10, "labels of at least 10 px on the smallest screen"
    assert all(address.startswith("file:") for address in tab.asked)
    assert not [said for said in tab.complaints if not said.startswith("failed:")]
    context.close()
