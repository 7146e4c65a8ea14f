"""The demo's site in German, with what single slips lead to, in a real browser."""

from __future__ import annotations

from pathlib import Path
from time import monotonic
from typing import Any

import pytest

from stepwell.render.site.build import build_site
from stepwell.report.check import Options, check_workspace
from tests.publish.bench import AS_OF
from tests.site.test_browser import AXE
from tests.site.test_slips import NAME, found, space
from tests.site.test_worker import serving, visit

pytestmark = pytest.mark.browser

PAGES = (
    "de/index.html",
    f"de/{NAME}.html",
    f"de/pages/check/{NAME}.html",
    f"de/pages/slips/{NAME}.html",
    f"slips/{NAME}.html",
    "slips.html",
    "de/pages/slips.html",
    "de/pages/about.html",
    "de/pages/rules.html",
    "de/pages/rules/limb-on-wrong-cannula.html",
    "de/pages/due.html",
    "de/pages/library.html",
    "de/pages/sums.html",
    "de/pages/sums/cylinder-endurance.html",
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("german") / "out"
    report = check_workspace(space(), as_of=AS_OF, clock=monotonic, options=Options(bites=True))
    build_site(space(), report, as_of=AS_OF, out=out, slips={NAME: found()})
    return out


@pytest.mark.parametrize("width", [320, 360, 1280])
def test_no_barrier_and_nothing_to_scroll_sideways(chromium: Any, folder: Path, width: int) -> None:
    if not AXE.exists():
        pytest.skip("axe-core is absent: run npm ci in tests/site")
    context = chromium.new_context(viewport={"width": width, "height": 740}, bypass_csp=True)
    page = context.new_page()
    for path in PAGES:
        page.goto(f"{folder.as_uri()}/{path}")
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
        low = page.evaluate(
            """() => [...document.querySelectorAll('a, button, input, select, summary')]
                 .filter(e => e.offsetParent && !e.closest('p:not(.at), .skip, h1, h3'))
                 .filter(e => e.getBoundingClientRect().height < 44).map(e => e.outerHTML.slice(0, 90))"""
        )
        assert low == [], path
        page.add_script_tag(path=str(AXE))
        found_by_axe = page.evaluate("axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice'] })")
        told = [(one["id"], [node["html"][:120] for node in one["nodes"]][:3]) for one in found_by_axe["violations"]]
        assert told == [], path
    context.close()


def test_on_a_phone_the_menu_of_two_languages_takes_one_row(chromium: Any, folder: Path) -> None:
    """A second row would push the first action of an emergency out of sight."""
    page = chromium.new_page(viewport={"width": 360, "height": 740})
    for path in (*PAGES, "index.html", f"en/{NAME}.html"):
        page.goto(f"{folder.as_uri()}/{path}")
        assert page.locator(".head").bounding_box()["height"] < 80, path
        assert page.locator("nav a[hreflang]").inner_text().strip() != "", path
    page.close()


def test_what_is_english_on_a_german_page_is_marked_and_seen_to_be(chromium: Any, folder: Path) -> None:
    page = chromium.new_page()
    for path in PAGES:
        if not path.startswith("de/pages/"):
            continue
        page.goto(f"{folder.as_uri()}/{path}")
        marked = page.locator("main [lang=en]")
        styles = marked.evaluate_all("list => [...new Set(list.map(one => getComputedStyle(one).borderLeftStyle))]")
        assert styles in ([], ["dotted"]), path
        assert not styles or page.locator(".in-english-note").count() == 1, path
    page.close()


def test_a_card_is_asked_for_in_german(chromium: Any, folder: Path) -> None:
    context = chromium.new_context()
    context.clock.set_fixed_time(f"{AS_OF.isoformat()}T08:00:00Z")
    page = context.new_page()
    page.goto(f"{folder.as_uri()}/de/pages/about.html")
    page.fill("#printed", "1.2.0")
    page.click("text=Fragen")
    answer = page.locator("#answer").inner_text()
    assert answer.startswith("Nein.")
    assert "keine Karte dieses Verfahrens in Kraft" in answer
    context.close()


@pytest.mark.parametrize(
    ("typed", "said"),
    [("1,5", "106,9"), ("1.5", "106,9"), ("0,25", "17,8"), ("1.500", "keine Zahl"), ("1,5,0", "keine Zahl")],
)
def test_a_decimal_comma_is_read_and_a_doubtful_point_is_not(chromium: Any, folder: Path, typed: str, said: str) -> None:
    """A metre of 9.525 mm holds 71.26 mL; "1.500" may be meant as a thousand and a half, and gives no figure."""
    page = chromium.new_page()
    page.goto(f"{folder.as_uri()}/de/pages/sums/tubing-volume.html")
    page.fill("#in-length", typed)
    assert page.locator("#out-value").inner_text() == said
    page.close()


def test_without_a_network_a_german_page_leads_to_what_was_kept_in_german(chromium: Any, folder: Path) -> None:
    context = chromium.new_context()
    page = context.new_page()
    with serving(folder) as port:
        visit(page, f"http://127.0.0.1:{port}")
    page.goto(f"http://127.0.0.1:{port}/de/{NAME}.html")
    assert page.url.endswith("/de/pages/offline.html")
    assert page.locator(".offline").inner_text().startswith("Keine Verbindung zu den Seiten")
    page.goto(f"http://127.0.0.1:{port}/de/index.html")
    page.fill("#find", "Vene")
    page.locator("#hits b").first.wait_for()
    context.close()
