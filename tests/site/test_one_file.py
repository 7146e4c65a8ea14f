"""An emergency card as one file: it opens alone, says what the card says, and asks for nothing."""

from __future__ import annotations

import base64
import hashlib
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from stepwell.publish.build import build_sheet
from stepwell.publish.sheet import HoldBar, Sheet, StageBlock, lines_of, spoken
from stepwell.render.cards.render import render_card
from stepwell.render.site.build import build_site
from tests.cards.test_text import in_reading_order, squeezed
from tests.site.conftest import Tab
from tests.site.library import AS_OF, library, unchecked
from tests.site.test_browser import AXE

EMERGENCIES = tuple(one.id for one in library().procedures if one.kind.value == "emergency")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("library")
    build_site(library(), unchecked(), as_of=AS_OF, out=out)
    return out


@pytest.fixture(params=EMERGENCIES)
def alone(request: pytest.FixtureRequest, folder: Path, tmp_path: Path) -> Path:
    """One card, copied away from everything else."""
    name = f"{request.param}.html"
    return Path(shutil.copy(folder / "en" / "one-file" / name, tmp_path / name))


def sheet_of(card: Path) -> Sheet:
    procedure = next(one for one in library().procedures if one.id == card.stem)
    return build_sheet(library(), procedure, None, AS_OF)


def test_every_emergency_has_one_and_nothing_else_has(folder: Path) -> None:
    made = sorted(path.stem for path in (folder / "en" / "one-file").iterdir())
    assert made == sorted(EMERGENCIES)
    assert len(made) >= 5


def test_home_and_the_page_lead_to_it(folder: Path) -> None:
    home = (folder / "index.html").read_text(encoding="utf-8")
    for name in EMERGENCIES:
        assert f'href="en/one-file/{name}.html" download' in home
        assert f'href="one-file/{name}.html" download' in (folder / "en" / f"{name}.html").read_text(encoding="utf-8")
    assert "one-file" not in (folder / "en" / "prime-adult.html").read_text(encoding="utf-8")


def test_no_script_no_link_out_and_a_policy_that_lets_in_its_own_style_alone(alone: Path) -> None:
    page = alone.read_text(encoding="utf-8")
    assert "<script" not in page
    assert "<button" not in page, "a button without a script does nothing"
    policy = re.findall(r'Content-Security-Policy" content="([^"]+)"', page)
    assert len(policy) == 1
    assert policy[0].startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy[0]
    (style,) = re.findall(r"<style>(.*?)</style>", page, re.S)
    assert base64.b64encode(hashlib.sha256(style.encode()).digest()).decode() in policy[0]
    assert set(re.findall(r"url\(([^)]{0,15})", style)) == {"data:font/woff2"}
    assert all(href.startswith(("#", "data:")) for href in re.findall(r'(?:href|src)="([^"]*)"', page))
    assert not re.search(r'\sstyle="', page)
    assert len(page.encode()) <= 60 * 1024


def test_it_says_of_which_day_it_is_and_when_it_is_out_of_date(alone: Path) -> None:
    page = alone.read_text(encoding="utf-8")
    for said in (f"Copy of {AS_OF}", "Out of date after 2026-12-24", "DRAFT - NOT FOR USE", "Not a medical device."):
        assert said in page


def told(tab: Tab, path: Path) -> list[dict[str, Any]]:
    tab.page.goto(path.as_uri())
    return list(
        tab.page.evaluate(
            """() => {
                 // In a figure stands a space that no line breaks at.
                 const plain = one => one.textContent.replaceAll('\\u00a0', ' ');
                 return [...document.querySelectorAll('.step')].map(step => ({
                 id: step.id, mark: step.querySelector('label b').textContent,
                 say: plain(step.querySelector('.say')),
                 expect: [...step.querySelectorAll('.expect>b')].map(plain),
                 ifNot: [...step.querySelectorAll('.ifnot')].map(plain),
                 warn: [...step.querySelectorAll('.warn')].map(plain)})); }"""
        )
    )


@pytest.mark.browser
def test_step_by_step_it_says_what_the_sheet_and_the_printed_card_say(tab: Tab, alone: Path) -> None:
    sheet = sheet_of(alone)
    printed, at = squeezed(in_reading_order(render_card(sheet, as_of=AS_OF).pdf)), 0
    lines, steps = lines_of(sheet.items), told(tab, alone)
    assert [step["id"] for step in steps] == [line.id for line in lines]
    for line, step in zip(lines, steps, strict=True):
        assert step["mark"] == line.mark
        assert step["say"] == spoken(line.text)
        assert step["expect"] == [spoken(one.value) for one in line.expect]
        if_not = [f"If not: {spoken(line.if_not.text)}"] if line.if_not else []
        if_late = [f"If late: {spoken(line.timed.missed)}"] if line.timed else []
        assert step["ifNot"] == if_not + if_late
        assert len(step["warn"]) == len(line.warnings)
        at = printed.index(squeezed(step["say"]), at) + 1
        assert all(squeezed(value) in printed[at:] for value in step["expect"])
        assert all(squeezed(words.split(": ", 1)[1]) in printed for words in step["ifNot"])
    whole = tab.page.inner_text("main")
    for block in sheet.items:
        if isinstance(block, StageBlock):
            assert block.title in whole
        if isinstance(block, HoldBar):
            assert f"Hold: {spoken(block.title)}" in whole
            assert spoken(block.abort) in whole
    assert spoken(sheet.done_call) in whole
    assert tab.complaints == []


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 360, 1280])
def test_it_asks_for_nothing_and_fits(tab: Tab, alone: Path, width: int) -> None:
    tab.page.set_viewport_size({"width": width, "height": 740})
    tab.page.goto(alone.as_uri(), wait_until="networkidle")
    assert [url for url in tab.asked if not url.startswith("data:")] == [alone.as_uri()]
    assert tab.page.evaluate("document.documentElement.scrollWidth") <= width
    assert tab.page.evaluate("document.fonts.check('16px Text')"), "the font came with the file"
    ticks = tab.page.evaluate("[...document.querySelectorAll('.step>label')].map(one => one.getBoundingClientRect().height)")
    assert min(ticks) >= 44
    assert tab.complaints == []


@pytest.mark.browser
def test_no_barrier_on_it(chromium: Any, folder: Path) -> None:
    if not AXE.exists():
        pytest.skip("axe-core is not installed: run npm ci in tests/site")
    context = chromium.new_context(bypass_csp=True, viewport={"width": 320, "height": 740})
    page = context.new_page()
    for name in EMERGENCIES:
        page.goto((folder / "en" / "one-file" / f"{name}.html").as_uri())
        page.add_script_tag(path=str(AXE))
        found = page.evaluate("axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice'] })")
        assert [(v["id"], [n["html"][:120] for n in v["nodes"]][:3]) for v in found["violations"]] == [], name
        contrast = page.evaluate("axe.run({ runOnly: { type: 'rule', values: ['color-contrast-enhanced'] } })")
        assert contrast["violations"] == [], name
    context.close()


@pytest.mark.browser
def test_a_print_of_it_is_marked_on_every_side(tab: Tab, folder: Path) -> None:
    pdfplumber = pytest.importorskip("pdfplumber")
    import io

    tab.page.goto((folder / "en" / "one-file" / f"{EMERGENCIES[0]}.html").as_uri())
    with pdfplumber.open(io.BytesIO(tab.page.pdf(format="A4"))) as document:
        assert len(document.pages) <= 2
        for side in document.pages:
            slanted = "".join(char["text"] for char in side.chars if abs(char["matrix"][1]) > 0.01)
            assert "DRAFT" in slanted
