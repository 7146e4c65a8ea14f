"""The page in a browser, by mouse and by keys alone: edits, undo, conflicts, a broken file; from a draft to a check."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from stepwell.authoring.draft_text import Head
from stepwell.authoring.importing import import_document
from stepwell.authoring.people import People
from stepwell.source.workspace import load_workspace
from tests.authoring.preview.conftest import Caller

CHROMIUM = Path("/usr/bin/chromium")
AXE = Path(os.environ.get("STEPWELL_AXE", Path(__file__).parents[2] / "site/node_modules/axe-core/axe.min.js"))
PICTURES = os.environ.get("STEPWELL_PICTURES", "")
"""A folder for pictures of the page, for those who want to look at them."""
DOCUMENT = b"""# Look for air with the return side shut

1. Specialist: Turn the sweep gas off.
2. Specialist: Shut the return cannula clamp.
3. Specialist: Look along the set for bubbles.
4. Specialist: Open the return cannula clamp.
5. Specialist: Turn the sweep gas on.
6. Specialist: Read the flow aloud.
"""

SMALL = """
[...document.querySelectorAll('button, select, input:not([type=checkbox]), textarea, summary, label.tick')]
  .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
  .filter(([, box]) => box.height && (box.height < 43.9 || box.width < 43.9))
  .map(([told, box]) => [told, box.width, box.height])
"""
"""What is smaller than a finger."""

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    if not CHROMIUM.exists():
        pytest.skip(f"no browser: {CHROMIUM} is absent")
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu"])
        yield browser
        browser.close()


class Tab:
    """A page on one procedure. Whatever the browser complains of fails the test at the end."""

    def __init__(self, browser: Any, caller: Caller, at: str, **options: Any) -> None:
        self.caller = caller
        self.context = browser.new_context(**{"viewport": {"width": 1280, "height": 900}, **options})
        self.page = self.context.new_page()
        self.page.set_default_timeout(60_000)
        self.complaints: list[str] = []
        self.asked: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(f"{message.text} {message.location}"))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.goto(f"{caller.server.door.address}#{at}")
        self.page.wait_for_selector("#list button[aria-current]")

    def file(self, name: str) -> str:
        return (self.caller.root / f"procedures/{name}.yaml").read_text(encoding="utf-8")

    def saved(self, name: str, text: str) -> str:
        """Wait until the file holds a text."""
        for _ in range(2000):
            if text in (found := self.file(name)):
                return found
            self.page.wait_for_timeout(30)
        raise AssertionError(f"{text!r} is not in the file:\n{self.file(name)}")

    def gone(self, name: str, text: str) -> None:
        """Wait until the file does not hold a text any more."""
        for _ in range(2000):
            if text not in self.file(name):
                return
            self.page.wait_for_timeout(30)
        raise AssertionError(f"{text!r} is still in the file")

    def verdict(self, words: str) -> None:
        self.page.wait_for_selector(f".told:not(.old) .headline:has-text('{words}')")

    def picture(self, name: str) -> None:
        if PICTURES:
            self.page.screenshot(path=str(Path(PICTURES) / f"{name}.png"))

    def close(self, *, expected: tuple[str, ...] = ()) -> None:
        outside = [url for url in self.asked if not url.startswith(self.caller.server.door.address)]
        assert not outside
        odd = [one for one in self.complaints if not any(word in one for word in expected)]
        assert not odd, odd
        self.context.close()


def test_a_step_is_changed_moved_added_deleted_and_all_taken_back_by_mouse(chromium: Any, demo: Caller) -> None:
    tab = Tab(chromium, demo, "gas-lost/a6wd")
    page, first = tab.page, tab.file("gas-lost")
    page.fill("[data-key=say] textarea", "Open {cylinder} and push the hose of {gas} firmly onto it.")
    page.click("h1")
    tab.saved("gas-lost", "say: Open {cylinder} and push the hose of {gas} firmly onto it.\n")
    page.click("#list button:has-text('Turn')")
    page.select_option("[data-key=do] .what select >> nth=0", "gas-off")
    tab.saved("gas-lost", "do: {gas-off: gas, ensure: true}")
    tab.verdict("rule")
    page.wait_for_selector("#list .sign")
    tab.picture("a-finding-beside-its-step")
    page.click("[data-act=up]")
    tab.saved("gas-lost", "steps:\n      - id: b3pj")
    page.click("[data-act=after]")
    page.wait_for_selector("[data-key=say] textarea:focus")
    page.keyboard.type("Call for help.")
    page.keyboard.press("Enter")
    tab.saved("gas-lost", "say: Call for help.")
    page.click("[data-act=delete]")
    tab.gone("gas-lost", "Call for help")
    for _ in range(12):
        if tab.file("gas-lost") == first:
            break
        before = tab.file("gas-lost")
        page.click("[data-tool=undo]")
        for _ in range(1000):
            if tab.file("gas-lost") != before:
                break
            page.wait_for_timeout(30)
        page.wait_for_timeout(150)
    assert tab.file("gas-lost") == first
    tab.verdict("No unsafe order found")
    tab.close()


def test_everything_goes_by_keys_alone(chromium: Any, demo: Caller) -> None:
    tab = Tab(chromium, demo, "gas-lost/a6wd")
    page, first = tab.page, tab.file("gas-lost")
    press = page.keyboard.press

    def to(selector: str) -> None:
        for _ in range(60):
            if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
            press("Tab")
        raise AssertionError(f"{selector} is not reached by the Tab key")

    to("#list button")
    press("ArrowDown")
    page.wait_for_selector("#list button[aria-current]:focus:has-text('Turn')")
    to("[data-key=say] textarea")
    press("Control+a")
    page.keyboard.type("Turn {gas} on at {start-sweep} now.")
    press("Enter")
    tab.saved("gas-lost", "say: Turn {gas} on at {start-sweep} now.")
    to("[data-act=up]")
    press("Enter")
    tab.saved("gas-lost", "steps:\n      - id: b3pj")
    page.wait_for_selector("[data-act=up]:focus")
    press("Alt+ArrowDown")
    tab.saved("gas-lost", "steps:\n      - id: a6wd")
    to(".adds button")
    press("Enter")
    page.wait_for_selector("[data-key=confirm] select:focus")
    page.keyboard.type("Assist")
    tab.saved("gas-lost", "confirm: assistant")
    for _ in range(10):
        page.keyboard.press("Control+z")
        page.wait_for_timeout(250)
        if tab.file("gas-lost") == first:
            break
    assert tab.file("gas-lost") == first
    press("Control+Shift+z")
    tab.saved("gas-lost", "now.")
    tab.close(expected=("422",))


def test_two_tabs_and_a_change_on_disk_lose_nothing(chromium: Any, demo: Caller) -> None:
    tabs = [Tab(chromium, demo, "gas-lost/a6wd") for _ in range(2)]
    for tab, said in zip(tabs, ("first", "second"), strict=True):
        tab.page.fill("[data-key=say] textarea", f"The words of the {said} tab.")
    for tab in tabs:
        tab.page.evaluate("document.activeElement.blur()")
    # Which of the two was saved first depends on the machine; the other one is told, and nothing of it is lost.
    for _ in range(2000):
        told = [tab for tab in tabs if tab.page.locator("dialog.conflict").count()]
        if told:
            break
        tabs[0].page.wait_for_timeout(30)
    (second,) = told
    first = next(tab for tab in tabs if tab is not second)
    mine, theirs = ("second", "first") if second is tabs[1] else ("first", "second")
    words = second.page.inner_text("dialog.conflict")
    assert f"The words of the {theirs} tab." in words
    assert f"The words of the {mine} tab." in words
    assert f"{theirs} tab" in second.file("gas-lost")
    assert f"{mine} tab" not in second.file("gas-lost")
    second.picture("a-conflict")
    second.page.click("dialog button.main")
    second.saved("gas-lost", f"{mine} tab")
    first.page.wait_for_selector(f".heard:has-text('{mine} tab')")
    first.close()
    second.close(expected=("409",))


def test_a_broken_file_shows_the_line_and_keeps_the_steps(chromium: Any, demo: Caller) -> None:
    tab = Tab(chromium, demo, "gas-lost/a6wd")
    tab.verdict("No unsafe order found")
    path = demo.root / "procedures/gas-lost.yaml"
    path.write_text(tab.file("gas-lost").replace("say: Open {cyl", "say: {cyl"), encoding="utf-8")
    tab.page.wait_for_selector(".broken")
    line = next(n for n, text in enumerate(tab.file("gas-lost").splitlines(), 1) if "say: {cyl" in text)
    assert f"line {line}, column 14" in tab.page.inner_text(".broken")
    assert "{cylinder}" in tab.page.inner_text(".broken pre .here")
    assert tab.page.locator("#list .row.step").count() == tab.file("gas-lost").count("- id: ")
    tab.picture("a-file-that-cant-be-read")
    path.write_text(tab.file("gas-lost").replace("say: {cyl", "say: Open {cyl"), encoding="utf-8")
    tab.page.wait_for_selector("[data-key=say] textarea")
    tab.close()


def draft(root: Path) -> None:
    """A draft, wording only, as ``stepwell import`` makes it."""
    workspace = load_workspace(root).workspace
    assert workspace is not None
    rig = next(one for one in workspace.rigs if one.id == "adult-va")
    head = Head(id="look-for-air", source="look-for-air.md", kind="check", rig=rig.id, people=("specialist",))
    made = import_document(head.source, DOCUMENT, head, People(roles=workspace.unit.roles, usual="specialist"), rig)
    (root / "procedures/look-for-air.yaml").write_text(made.text, encoding="utf-8")


def test_from_an_imported_draft_to_a_checked_procedure_in_the_page_alone(chromium: Any, demo: Caller) -> None:
    draft(demo.root)
    demo.server.desk.read()
    tab = Tab(chromium, demo, "look-for-air")
    page = tab.page
    tab.verdict("not checked")
    comments = [line.strip() for line in tab.file("look-for-air").splitlines() if "(line " in line]
    tab.picture("draft-1-as-imported")
    for at in (0, 1, 3, 4):
        page.click(f"#list .row.step button >> nth={at}")
        page.click(".proposal button.main")
        page.wait_for_selector("[data-key=do] .chip")
        page.wait_for_selector(".proposal", state="detached")
        page.click(".adds button:has-text('how long')")
        page.fill("[data-key=takes] input", "5 s .. 10 s")
        page.click("h1")
    for at, seen in ((2, "no bubble in the set"), (5, "a flow as before")):
        page.click(f"#list .row.step button >> nth={at}")
        page.click(".adds button:has-text('what must be so')")
        page.select_option("[data-key=expect] .what select", "see")
        page.fill("[data-key=expect] textarea", seen)
        page.click("h1")
        tab.saved("look-for-air", seen)
        page.click(".adds button:has-text('what if not')")
        page.fill("textarea[aria-label='If it is not so']", "Leave it shut and call the ECMO physician.")
        page.click(".adds button:has-text('how long')")
        page.fill("[data-key=takes] input", "5 s .. 10 s")
        page.click("h1")
    tab.picture("draft-2-steps-done")
    page.click("#list .about")
    page.fill(
        ".field:has(label:has-text('Taken when')) textarea >> nth=0", "Bubbles were heard or seen, and the set still runs."
    )
    page.fill(".field:has(label:has-text('Not taken when')) textarea", "Air is seen in the return limb. Take that card.")
    page.fill(".field:has(label:has-text('Said when done')) input", "Looked for air: none, flow forward, gas on.")
    page.select_option(".field:has(label:has-text('Starts from')) select", "supported")
    ends = page.locator(".rows-of", has_text="Must be so at the end")
    ends.locator("select").first.select_option("flow")
    ends.locator("select").nth(1).select_option("forward")
    tab.saved("look-for-air", "ends:")
    ends.locator(".more").click()
    ends.locator(".one").nth(1).locator("select").first.select_option("gas-flowing")
    ends.locator(".one").nth(1).locator("select").nth(1).select_option("gas")
    text = tab.saved("look-for-air", "gas-flowing")
    done = ["{gas-off: gas}", "{shut: return-cannula-clamp}", "{open: return-cannula-clamp}", "{gas-on: gas}"]
    assert [line.strip().removeprefix("do: ") for line in text.splitlines() if line.strip().startswith("do: ")] == done
    tab.verdict("No unsafe order found in the model")
    page.click("#list .row.step button >> nth=3")
    page.wait_for_selector(".circuit img")
    page.wait_for_timeout(200)
    tab.picture("draft-3-checked")
    view = demo.view("look-for-air")
    assert view["verdicts"][0]["state"] == "clear"
    assert [one["message"] for one in view["findings"] if one["severity"] != "minor"] == []
    assert [line.strip() for line in tab.file("look-for-air").splitlines() if "(line " in line] == comments
    tab.close()


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), pytest.param(800, "dark", marks=pytest.mark.nightly)])
def test_nothing_stands_in_anybodys_way(chromium: Any, demo: Caller, width: int, scheme: str) -> None:
    if not AXE.exists():
        pytest.skip("axe-core is absent: run npm ci in tests/site")
    path = demo.root / "procedures/prime-adult.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace(
            "            do: {open: oxy-vent}\n            expect: {open: oxy-vent}\n", ""
        ),
        encoding="utf-8",
    )
    demo.server.desk.read()
    options = {"viewport": {"width": width, "height": 900}, "color_scheme": scheme, "bypass_csp": True}
    tab = Tab(chromium, demo, "prime-adult/r8nh", **options)
    page = tab.page
    page.wait_for_selector(".finding")
    page.wait_for_selector(".circuit img")
    page.add_script_tag(path=str(AXE))
    for name in ("/body/6/steps/1", "about", "/body/5", "/body/3"):
        page.evaluate("path => document.querySelector(`#list [data-path='${path}']`)?.click()", name)
        page.wait_for_timeout(100)
        tab.picture(f"axe-{width}-{name.replace('/', '-')}")
        found = page.evaluate("axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice'] })")
        assert [(v["id"], [n["html"][:160] for n in v["nodes"]][:3]) for v in found["violations"]] == [], name
        small = page.evaluate(SMALL)
        assert small == [], name
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), name
    tab.close()
