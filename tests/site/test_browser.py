"""The site in a real browser, from a stick and over http."""

from __future__ import annotations

import os
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from stepwell.model.procedure import Kind
from stepwell.publish.shelf import OldCard, OtherCard, Shelf, ShelfCard
from stepwell.render.site.build import SiteResult, build_site
from tests.site.conftest import Tab
from tests.site.unit import AIR, AS_OF, REPORT, WORKSPACE, small

pytestmark = pytest.mark.browser

KEY_PAGES = (
    "index.html",
    "en/prime-adult.html",
    "en/air-in-return.html",
    "en/prime-adult/circuit.html",
    "check/prime-adult.html",
    "slips/prime-adult.html",
    "slips.html",
    "rules.html",
    "rules/air-reaches-the-patient.html",
    "about.html",
    "due.html",
    "library.html",
    "sums.html",
    "sums/gravity-fill.html",
    "sums/cylinder-endurance.html",
)
AXE = Path(os.environ.get("STEPWELL_AXE", Path(__file__).parent / "node_modules/axe-core/axe.min.js"))

QUERIES = (
    ("embolism", "Air in the return line"),
    ("bubbles", "Air in the return line"),
    ("air embolism", "Air in the return line"),
    ("VAE", "Air in the return line"),
    ("air-in-return", "Air in the return line"),
    ("pu", "The pump stops"),
    ("the pump has stopped", "The pump stops"),
    ("canula", "A cannula comes out"),
    ("canulla out", "A cannula comes out"),
    ("OXY", "Change the circuit"),
    ("membrane lung", "Change the circuit"),
    ("SpO2", "Change the circuit"),
    ("prime-adult", "Prime the adult set"),
    ("priming", "Prime the adult set"),
    ("prmie", "Prime the adult set"),
    ("k7f3", "Prime the adult set"),
    ("sweep cylinder", "Move the sweep gas to a cylinder"),
    ("SW103", "The vent is left open"),
    ("vent-left-open", "The vent is left open"),
)


def find(tab: Tab, base: str, query: str) -> list[str]:
    if not tab.page.url.startswith(base) or "index.html" not in tab.page.url:
        tab.page.goto(f"{base}/index.html")
    tab.page.fill("#find", query)
    tab.page.locator("#count:not(:empty)").wait_for()
    return list(tab.page.locator("#hits b").all_text_contents())


def test_search_finds_what_it_should_in_the_first_three(tab: Tab, base: str) -> None:
    missed = [(query, want) for query, want in QUERIES if want not in find(tab, base, query)[:3]]
    assert missed == []
    assert find(tab, base, "embolism")[0] == "Air in the return line"
    assert tab.complaints == []


def test_search_by_keyboard_only(tab: Tab, base: str) -> None:
    tab.page.goto(f"{base}/index.html")
    tab.page.keyboard.press("/")
    assert tab.page.evaluate("document.activeElement.id") == "find"
    tab.page.keyboard.type("bubbles")
    tab.page.wait_for_selector("#hits a")
    count = tab.page.locator("#count")
    assert count.get_attribute("aria-live") == "polite"
    assert count.text_content().endswith("found")
    tab.page.keyboard.press("ArrowDown")
    assert tab.page.evaluate("document.activeElement.tagName") == "A"
    tab.page.keyboard.press("Enter")
    tab.page.wait_for_url("**/en/air-in-return.html")
    tab.page.keyboard.press("/")
    tab.page.wait_for_url("**/index.html#find")
    assert tab.page.evaluate("document.activeElement.id") == "find"
    assert tab.complaints == []


def test_nothing_found_is_said_and_one_letter_is_too_few(tab: Tab, base: str) -> None:
    assert find(tab, base, "xylophone") == []
    assert "Nothing found" in tab.page.locator("#count").text_content()
    tab.page.fill("#find", "x")
    assert "one more letter" in tab.page.locator("#count").text_content()


def test_a_step_id_leads_to_the_step(tab: Tab, base: str) -> None:
    find(tab, base, "g7h8")
    tab.page.click("#hits a")
    tab.page.wait_for_url("**/en/prime-adult.html#g7h8")


def test_an_emergency_is_one_tap_away(tab: Tab, base: str) -> None:
    tab.page.goto(f"{base}/index.html")
    tab.page.click("text=Air in the return line")
    tab.page.wait_for_url("**/en/air-in-return.html")
    box = tab.page.locator("#b2aa .say").bounding_box()
    assert box["y"] + box["height"] <= 740, "the first action is in sight on a phone without scrolling"


def now(tab: Tab) -> str:
    return str(tab.page.evaluate("document.querySelector('.now').id"))


def test_step_by_step_by_keyboard(tab: Tab, base: str) -> None:
    page = tab.page
    page.goto(f"{base}/en/prime-adult.html")
    page.focus("#walk-start")
    page.keyboard.press("Enter")
    page.wait_for_selector(".now")
    seen = [now(tab)]
    for _ in range(7):
        page.keyboard.press("ArrowRight")
        seen.append(now(tab))
    assert seen == ["k7f3", "m2q8", "a1b2", "c3d4", "e5f6", "g7h8", "j9k1", "n2p3"]
    assert page.locator(".step:visible").count() == 1
    page.keyboard.press("ArrowRight")
    assert now(tab) == "r1aa"
    page.keyboard.press("ArrowRight")
    assert now(tab) == "r1aa", "a question waits for its answer"
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert now(tab) == "n2p3", "the second answer goes back"
    page.keyboard.press("ArrowRight")
    page.click("#r1aa button:has-text('Yes, go on')")
    assert now(tab) == "q7aa"
    page.click("#q7aa button:has-text('few bubbles')")
    assert now(tab) == "s4t5"
    page.keyboard.press("ArrowRight")
    assert now(tab) == "h1aa"
    page.keyboard.press("ArrowRight")
    assert now(tab) == "h1aa", "a hold stops until it is agreed"
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    assert now(tab) == "q7aa", "back goes the way that was come"
    page.click("#q7aa button:has-text('No')")
    page.click("#h1aa button:has-text('Specialist agrees')")
    page.click("#h1aa button:has-text('Nurse agrees')")
    page.focus("#h1aa")
    page.keyboard.press(" ")
    page.keyboard.press(" ")
    assert now(tab) == "the-end"
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.id") == "walk-start"
    assert tab.complaints == []


def test_step_by_step_shows_the_circuit_in_large_type(tab: Tab, base: str) -> None:
    page = tab.page
    page.goto(f"{base}/en/prime-adult.html")
    assert not page.locator("#k7f3 .changes").is_visible()
    page.click("#walk-start")
    page.wait_for_selector(".now")
    assert page.locator("#k7f3 .changes").is_visible()
    assert page.evaluate("parseFloat(getComputedStyle(document.querySelector('.now .say')).fontSize)") >= 28
    for name in ("#walk-next", "#walk-back", "#walk-leave"):
        box = page.locator(name).bounding_box()
        assert box["height"] >= 44, name
        assert box["width"] >= 44, name


def test_the_circuit_is_put_in_when_it_is_wanted_and_once(tab: Tab, base: str) -> None:
    page = tab.page
    page.goto(f"{base}/en/prime-adult.html")
    assert page.locator(".changes").count() == 0
    for shown in (True, False, True):
        page.click("#circuit")
        page.wait_for_function("shown => document.documentElement.classList.contains('circuit') === shown", arg=shown)
        assert page.locator("#k7f3 .changes").is_visible() is shown
    page.click("#walk-start")
    page.wait_for_selector(".now")
    assert page.locator("#k7f3 .changes").count() == 1
    assert page.locator("#h1aa .answers").count() == 1
    assert tab.complaints == []


def test_what_cannot_be_loaded_is_said(tab: Tab, site: tuple[Path, SiteResult]) -> None:
    page = tab.page
    page.route("**/later.js", lambda route: route.abort())
    # From a stick: over http what is kept might answer, and nothing here would stop that.
    page.goto((site[0] / "en/prime-adult.html").as_uri())
    page.click("#walk-start")
    page.wait_for_selector("#walk-start:disabled")
    assert page.text_content("#walk-start") == "Could not be loaded"
    assert page.locator("#k7f3 .say").is_visible()


def test_a_screen_reader_hears_boxes_by_their_steps_and_no_marks(tab: Tab, base: str) -> None:
    tab.page.goto(f"{base}/en/prime-adult.html")
    assert tab.page.get_attribute("#m2q8 input", "aria-label") == "Step 2 done"
    assert tab.page.locator(".mark:not([aria-hidden=true])").count() == 0


@pytest.mark.parametrize("width", [320, 360, 1280])
def test_no_sideways_scroll_and_large_targets(tab: Tab, base: str, width: int) -> None:
    tab.page.set_viewport_size({"width": width, "height": 740})
    for path in KEY_PAGES:
        tab.page.goto(f"{base}/{path}")
        assert tab.page.evaluate("document.documentElement.scrollWidth") <= width, path
        small_ones = tab.page.evaluate(
            """() => [...document.querySelectorAll('a, button, input, select, summary')]
                 .filter(e => e.offsetParent && !e.closest('p, .skip, h1') && !e.matches('.skip'))
                 .filter(e => e.getBoundingClientRect().height < 44).map(e => e.outerHTML.slice(0, 90))"""
        )
        assert small_ones == [], path
    assert tab.complaints == []


def test_no_request_leaves_and_few_are_made(tab: Tab, base: str) -> None:
    for path in KEY_PAGES:
        tab.asked.clear()
        tab.page.goto(f"{base}/{path}", wait_until="networkidle")
        asked = [url for url in tab.asked if not url.startswith("data:")]
        assert all(url.startswith(base) for url in asked), asked
        assert len(asked) <= 5, asked
    tab.asked.clear()
    find(tab, base, "pump")
    assert all(url.startswith((base, "data:")) for url in tab.asked)
    assert tab.complaints == []


def test_hostile_words_do_nothing(tab: Tab, base: str) -> None:
    tab.page.goto(f"{base}/en/prime-adult.html")
    assert "taken" not in tab.page.title()
    assert "<script>" in tab.page.locator("#u6v7 .say").text_content()
    assert tab.complaints == []


def test_is_my_card_current(tab: Tab, base: str) -> None:
    page = tab.page
    page.goto(f"{base}/about.html")
    page.click("text=Ask")
    assert page.locator("#answer").text_content().startswith("Cannot tell.")
    page.fill("#printed", "1.2.0")
    page.click("text=Ask")
    assert page.locator("#answer").text_content().startswith("No. No card of this procedure is in force")


SHELF_CARD = ShelfCard(
    procedure=AIR.id,
    version="1.2.0",
    code="0123456789ab",
    old=(
        OldCard(version="1.0.0", code="aaaaaaaaaaaa", state="superseded"),
        OldCard(version="1.1.0", code="bbbbbbbbbbbb", state="withdrawn"),
        OldCard(version="1.2.0", code="cccccccccccc", state="superseded"),
        OldCard(version="1.3.0", code="dddddddddddd", state="not yet in force"),
        OldCard(version="1.0.0", code="ffffffffffff", state="superseded", language="de"),
    ),
    others=(OtherCard(language="de", code="eeeeeeeeeeee"),),
)


@pytest.mark.parametrize(
    ("trouble", "typed", "said"),
    [
        (False, "0123 4567 89AB", "Yes. Version 1.2.0 is in force"),
        (False, "stepwell:air-in-return@1.2.0#0123456789ab", "Yes."),
        (False, "eeee eeee eeee", "Yes. Version 1.2.0 is in force"),
        (False, "ffffffffffff", "No. That card is superseded. In force is version 1.2.0."),
        (False, "0123456789ab eeeeeeeeeeee", "Cannot tell. This copy knows no card"),
        (False, "aaaa aaaa aaaa", "No. That card is superseded. In force is version 1.2.0."),
        (False, "1.0.0", "No. That card is superseded."),
        (False, "bbbbbbbbbbbb", "No. That card is withdrawn."),
        (False, "cccccccccccc", "No. That card is superseded."),
        (False, "dddddddddddd", "No. That card is not yet in force."),
        (False, "1.2.0", "Cannot tell. More than one card bears that version. Type the code."),
        (False, "0123456789ac", "Cannot tell. This copy knows no card"),
        (False, "9.9.9", "Cannot tell. This copy knows no card"),
        (False, "", "Cannot tell. Type"),
        (True, "0123456789ab", "Cannot tell. The list of releases is not whole."),
        (True, "aaaaaaaaaaaa", "Cannot tell."),
    ],
)
def test_is_my_card_current_by_the_ledger(
    chromium: Any, tmp_path_factory: pytest.TempPathFactory, trouble: bool, typed: str, said: str
) -> None:
    folder = tmp_path_factory.mktemp("shelf")
    build_site(WORKSPACE, REPORT, as_of=AS_OF, out=folder, shelf=Shelf(cards=(SHELF_CARD,), trouble=trouble))
    context = chromium.new_context()
    context.clock.set_fixed_time(f"{AS_OF.isoformat()}T08:00:00Z")
    page = context.new_page()
    page.goto((folder / "about.html").as_uri())
    page.select_option("#current select", label=AIR.title)
    page.fill("#printed", typed)
    page.click("text=Ask")
    assert page.locator("#answer").text_content().startswith(said)
    context.close()


def test_the_age_of_the_copy_is_told(chromium: Any, site: tuple[Path, SiteResult]) -> None:
    for day, said, stale in (
        ("2026-11-26", "(2 days old)", False),
        ("2027-03-01", "(97 days old)", True),
        ("2025-01-01", "clock", True),
    ):
        context = chromium.new_context()
        context.clock.set_fixed_time(f"{day}T08:00:00Z")
        page = context.new_page()
        page.goto(site[0].as_uri() + "/about.html")
        assert said in page.locator(".copy").text_content()
        assert page.evaluate("document.documentElement.classList.contains('stale')") is stale
        page.fill("#printed", "1.2.0")
        page.click("text=Ask")
        assert page.locator("#answer").text_content().startswith("Cannot tell." if stale else "No.")
        context.close()


def test_print_shows_draft_across_and_no_buttons(tab: Tab, base: str) -> None:
    tab.page.goto(f"{base}/en/prime-adult.html")
    tab.page.emulate_media(media="print")
    assert tab.page.locator(".across").is_visible()
    assert not tab.page.locator("#walk-start").is_visible()
    assert not tab.page.locator("nav").is_visible()
    assert tab.page.locator(".across").evaluate("e => getComputedStyle(e).position") == "fixed", "it is on every sheet"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 360, 1280])
def test_accessibility(chromium: Any, site: tuple[Path, SiteResult], width: int, scheme: str) -> None:
    if not AXE.exists():
        pytest.skip("axe-core is absent: run npm ci in tests/site")
    context = chromium.new_context(viewport={"width": width, "height": 740}, color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    for path in (*KEY_PAGES, "en/prime-adult.html#walk", "index.html#hits"):
        page.goto(site[0].as_uri() + "/" + path)
        if path.endswith("#walk"):
            page.click("#walk-start")
            page.wait_for_selector(".now")
        if path.endswith("#hits"):
            page.fill("#find", "pump")
            page.wait_for_selector("#hits a")
        page.add_script_tag(path=str(AXE))
        found = page.evaluate("axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice'] })")
        told = [(v["id"], [n["html"][:120] for n in v["nodes"]][:3]) for v in found["violations"]]
        assert told == [], path
        contrast = page.evaluate("axe.run({ runOnly: { type: 'rule', values: ['color-contrast-enhanced'] } })")
        low = [(node["html"][:120], node["any"][0]["message"]) for v in contrast["violations"] for node in v["nodes"]]
        assert low == [], path
    context.close()


def test_how_long_the_first_result_takes_on_a_slow_phone(chromium: Any, tmp_path: Path) -> None:
    body = WORKSPACE.procedures[0].body
    more = tuple(
        replace(small(f"more-{n}", f"Procedure number {n} of the library", Kind.ROUTINE, "Never."), body=body)
        for n in range(192)
    )
    build_site(replace(WORKSPACE, procedures=WORKSPACE.procedures + more), REPORT, as_of=AS_OF, out=tmp_path)
    page = chromium.new_page()
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
    page.goto(tmp_path.as_uri() + "/index.html")
    page.focus("#find")
    page.wait_for_timeout(500)  # from the tap to the first letter
    start = time.perf_counter()
    page.fill("#find", "embolism")
    page.locator("#hits b", has_text="Air in the return line").first.wait_for()
    took = time.perf_counter() - start
    assert page.locator("#hits b").first.text_content() == "Air in the return line"
    page.close()
    # A busy machine must not turn a figure into a failure; the target is 400 ms.
    print(f"first result among 200 procedures at a sixth of the speed: {took * 1000:.0f} ms")
