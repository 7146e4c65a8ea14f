"""One step at a time: clocks, holds, rounds, and the place that a reload keeps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from stepwell.model.procedure import Action, Stage, Step
from stepwell.publish.timing import Timing, timings
from stepwell.render.site.build import SiteResult, build_site
from tests.site.conftest import Tab
from tests.site.unit import AIR, AS_OF, PRIME, REPORT, WORKSPACE, q, words

MINUTE = q("2", "min")
WAITING = Step(
    id="w1aa",
    who="nurse",
    say=words("Open {prime-clamp} and wait 2 min."),
    do=(Action(verb="open", parts=("prime-clamp",)), Action(verb="wait", options=(("for", MINUTE),))),
    takes=(MINUTE, q("3", "min")),
)
TIMED = replace(AIR, id="timed", body=(Stage(title="Fill", body=(WAITING, *AIR.body[1:])),))


def test_times_are_those_that_are_stated() -> None:
    assert timings(PRIME) == {"m2q8": Timing(most=120, wait=0)}
    assert timings(TIMED)["w1aa"] == Timing(most=180, wait=120)
    twice = replace(WAITING, do=WAITING.do[1:] * 2)
    assert timings(replace(TIMED, body=(twice,)))["w1aa"].wait == 240
    assert timings(replace(TIMED, body=(replace(twice, at_once=True),)))["w1aa"].wait == 120
    assert timings(AIR) == {}


@pytest.fixture(scope="module")
def timed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("timed")
    build_site(replace(WORKSPACE, procedures=(TIMED,)), REPORT, as_of=AS_OF, out=out)
    return out


def at(tab: Tab, clock: str) -> None:
    tab.page.clock.set_fixed_time(f"2026-11-26T08:{clock}Z")
    tab.page.wait_for_timeout(350)  # longer than the beat of the clock


def walk(tab: Tab, address: str) -> None:
    tab.page.goto(address)
    tab.page.click("#walk-start")
    tab.page.wait_for_selector(".now")


def now(tab: Tab) -> str:
    return str(tab.page.evaluate("document.querySelector('.now').id"))


def face(tab: Tab) -> str:
    return str(tab.page.text_content("#walk-face"))


def about(tab: Tab) -> str:
    return str(tab.page.text_content("#walk-about"))


pytestmark = pytest.mark.browser


def test_the_time_of_a_step_counts_up_and_says_when_the_longest_is_over(tab: Tab, base: str) -> None:
    at(tab, "00:00")
    walk(tab, f"{base}/en/prime-adult.html")
    assert not tab.page.locator("#walk-clock").is_visible(), "nothing is stated for this step"
    tab.page.keyboard.press("ArrowRight")
    assert (face(tab), about(tab)) == ("0:00", "of at most 2:00")
    assert not tab.page.locator("#walk-run").is_visible()
    at(tab, "02:00")
    assert (face(tab), about(tab)) == ("2:00", "of at most 2:00")
    at(tab, "02:01")
    assert (face(tab), about(tab)) == ("2:01", "Past the longest stated time, 2:00")
    assert tab.page.get_attribute("#walk-about", "role") == "status"
    tab.page.keyboard.press("ArrowLeft")
    tab.page.keyboard.press("ArrowRight")
    assert face(tab) == "0:00", "a step that comes up anew has its time anew"
    assert tab.complaints == []


def test_a_wait_counts_down_once_it_is_started_and_outlives_a_reload(tab: Tab, timed: Path) -> None:
    at(tab, "00:00")
    walk(tab, (timed / "en/timed.html").as_uri())
    assert (face(tab), about(tab)) == ("2:00", "to wait")
    at(tab, "00:30")
    assert face(tab) == "2:00", "it waits for the tap"
    tab.page.click("#walk-run")
    at(tab, "01:00")
    assert (face(tab), about(tab)) == ("1:30", "left of 2:00")
    tab.page.reload()
    tab.page.wait_for_selector(".now")
    assert face(tab) == "1:30"
    tab.page.keyboard.press("ArrowRight")
    tab.page.keyboard.press("ArrowLeft")
    assert face(tab) == "1:30", "a wait that runs is not lost by looking ahead"
    at(tab, "02:30")
    assert (face(tab), about(tab)) == ("0:00", "The wait of 2:00 is over")
    at(tab, "02:42")
    assert face(tab) == "+0:12"
    at(tab, "03:01")
    assert about(tab) == "Past the longest stated time, 3:00"
    assert tab.complaints == []


def test_a_reload_keeps_the_place_and_leaving_forgets_it(tab: Tab, base: str) -> None:
    walk(tab, f"{base}/en/prime-adult.html")
    for _ in range(3):
        tab.page.keyboard.press("ArrowRight")
    place = now(tab)
    tab.page.reload()
    tab.page.wait_for_selector(".now")
    assert now(tab) == place
    tab.page.keyboard.press("ArrowLeft")
    assert now(tab) == "a1b2", "the way back is kept as well"
    tab.page.keyboard.press("Escape")
    tab.page.reload()
    tab.page.wait_for_timeout(300)
    assert tab.page.locator(".now").count() == 0
    assert tab.complaints == []


def test_it_works_where_nothing_may_be_kept(chromium: Any, site: tuple[Path, SiteResult]) -> None:
    context = chromium.new_context()
    context.add_init_script(
        "Object.defineProperty(window, 'sessionStorage', { get: function () { throw new DOMException('refused'); } });"
    )
    tab = Tab(context)
    walk(tab, (site[0] / "en/prime-adult.html").as_uri())
    tab.page.keyboard.press("ArrowRight")
    assert now(tab) == "m2q8"
    tab.page.click("#walk-leave")
    assert tab.complaints == []
    context.close()


def test_a_hold_stops_until_each_has_agreed(tab: Tab, base: str) -> None:
    page = tab.page
    walk(tab, f"{base}/en/prime-adult.html#h1aa")
    assert now(tab) == "h1aa"
    assert page.locator("#walk-next").is_disabled()
    page.click("#h1aa button:has-text('Specialist agrees')")
    assert page.locator("#walk-next").is_disabled()
    page.click("#h1aa button:has-text('Nurse agrees')")
    assert page.locator("#walk-next").is_enabled()
    page.click("#h1aa button:has-text('Nurse agrees')")
    assert page.locator("#walk-next").is_disabled(), "an agreement can be taken back"
    page.click("#h1aa button:has-text('Nurse agrees')")
    page.click("#walk-next")
    page.click("#walk-back")
    assert page.locator("#walk-next").is_disabled(), "who comes back to a hold agrees anew"
    assert "Leave the set clamped" in page.locator("#h1aa").inner_text()


def test_rounds_are_counted_and_end(tab: Tab, base: str) -> None:
    page = tab.page
    walk(tab, f"{base}/en/prime-adult.html#r1aa")
    for round in (1, 2):
        assert f"Round {round} of at most 3." in page.locator("#r1aa").inner_text()
        page.click("#r1aa button:has-text('No, again')")
        assert now(tab) == "n2p3"
        page.keyboard.press("ArrowRight")
    assert "Round 3 of at most 3." in page.locator("#r1aa").inner_text()
    assert page.locator("#r1aa button:has-text('No, again')").is_disabled()
    assert page.locator("#r1aa button:has-text('Yes, go on')").is_enabled()


def test_warnings_stand_directly_above_and_it_is_no_record(tab: Tab, base: str) -> None:
    walk(tab, f"{base}/en/prime-adult.html")
    warn, say = (tab.page.locator(f"#k7f3 {name}").bounding_box() for name in (".warn", ".say"))
    assert warn["y"] + warn["height"] <= say["y"]
    assert "Not a record" in tab.page.inner_text("main")


@pytest.mark.parametrize("width", [320, 360])
def test_the_bar_is_for_gloves_and_leaves_the_step_in_sight(tab: Tab, timed: Path, width: int) -> None:
    tab.page.set_viewport_size({"width": width, "height": 640})
    walk(tab, (timed / "en/timed.html").as_uri())
    for name, least in (("#walk-next", 64), ("#walk-back", 64), ("#walk-run", 56), ("#walk-leave", 44)):
        box = tab.page.locator(name).bounding_box()
        assert box["height"] >= least, name
        assert box["width"] >= 44, name
    say, bar = tab.page.locator(".now .say").bounding_box(), tab.page.locator("#walk").bounding_box()
    assert say["y"] + say["height"] <= bar["y"], "what is to be done is not hidden by the bar"
    assert tab.page.evaluate("document.documentElement.scrollWidth") <= width
