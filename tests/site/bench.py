"""Each target of the site and the cards beside what is measured here: ``python -m tests.site.bench``. Prints, never fails.

A busy machine measures worse than a quiet one: the load is printed with the figures.
"""

from __future__ import annotations

import os
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from statistics import median
from typing import Any

from stepwell.model.procedure import Kind
from stepwell.publish.build import build_sheet
from stepwell.render.cards.render import render_card
from stepwell.render.site.build import build_site
from tests.site.conftest import CHROMIUM, Quiet
from tests.site.library import AS_OF, library, queries, unchecked
from tests.site.unit import REPORT, WORKSPACE, small

COUNT = 200


def line(what: str, target: str, measured: str) -> None:
    print(f"{what:<52} {target:<18} {measured}")


def cards() -> None:
    """How many cards a second, once everything is warm, and how heavy the heaviest is."""
    sheets = [build_sheet(library(), procedure, None, AS_OF) for procedure in library().procedures]
    for sheet in sheets:
        render_card(sheet, as_of=AS_OF)
    again = [replace(sheet, title=f"{sheet.title} again") for sheet in sheets]
    start = time.process_time()
    made = [render_card(sheet, as_of=AS_OF) for sheet in again]
    spent = time.process_time() - start
    line(
        "cards a second of one core, warm",
        "at least 20",
        f"{len(made) / spent:.1f} ({spent / len(made) * 1000:.0f} ms a card)",
    )
    heaviest = max(made, key=lambda card: len(card.pdf))
    line("heaviest card", "at most 60 KiB", f"{len(heaviest.pdf) / 1024:.0f} KiB")


def site(folder: Path) -> None:
    """How fast a large library is built, and what the pages of the unit's own weigh."""
    body = WORKSPACE.procedures[0].body
    more = (replace(small(f"more-{n}", f"Procedure number {n}", Kind.ROUTINE, "Never."), body=body) for n in range(COUNT))
    start = time.process_time()
    made = build_site(
        replace(WORKSPACE, procedures=(*WORKSPACE.procedures, *more)), REPORT, as_of=AS_OF, out=folder / "many"
    )
    spent = time.process_time() - start
    line(
        f"pages a second, {COUNT} procedures, one core",
        "at least 150",
        f"{len(made.pages) / spent:.0f} of {len(made.pages)}",
    )
    found = build_site(library(), unchecked(), as_of=AS_OF, out=folder / "own").findings
    line("procedure pages over 60 KB with font", "none", "; ".join(one.message for one in found) or "none")
    alone = [path.stat().st_size for path in (folder / "own" / "en" / "one-file").iterdir()]
    line("heaviest card as one file, font inside", "at most 60 KB", f"{max(alone) / 1024:.0f} KB of {len(alone)}")


@contextmanager
def served(folder: Path) -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def first_result(browser: Any, address: str) -> float:
    """Milliseconds from the first letter to the first result, at a sixth of the speed; half a second after the tap."""
    page = browser.new_page()
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
    page.goto(f"{address}/index.html")
    page.focus("#find")
    page.wait_for_timeout(500)
    start = time.perf_counter()
    page.fill("#find", "embolism")
    page.locator("#hits b").first.wait_for()
    took = (time.perf_counter() - start) * 1000
    page.close()
    return took


def browser_figures(browser: Any, folder: Path) -> None:
    """Requests, search, targets for fingers."""
    page, asked = browser.new_page(viewport={"width": 360, "height": 740}), []
    page.on("request", lambda request: asked.append(request.url))
    most, outside, smallest = 0, 0, 1000.0
    for path in sorted((folder / "own").rglob("*.html")):
        asked.clear()
        page.goto(path.as_uri(), wait_until="load")
        mine = [url for url in asked if not url.startswith("data:")]
        most, outside = max(most, len(mine)), outside + sum(not url.startswith("file:") for url in mine)
        sizes = page.evaluate(
            "[...document.querySelectorAll('button, input, select, summary, nav a, .row a, .urgencies a, .button')]"
            ".filter(e => e.offsetParent).map(e => e.getBoundingClientRect().height)"
        )
        smallest = min([smallest, *sizes])
    line("most requests of a page", "at most 5", str(most))
    line("requests that leave the site", "none", str(outside))
    line("lowest target for a finger at 360 px", "at least 44 px", f"{smallest:.0f} px")
    for name, home in (("queries.md", "index.html"), ("queries-de.md", "de/index.html")):
        page.goto((folder / "own" / home).as_uri())
        page.focus("#find")
        page.wait_for_function("() => Boolean(window.stepwellFind)")
        right = 0
        for words, wanted, _ in queries(name):
            hits = page.evaluate("q => (window.stepwellFind(q) || []).slice(0, 3).map(hit => hit.href)", words)
            right += bool({href.split("#")[0].removesuffix(".html").rsplit("/", 1)[-1] for href in hits} & set(wanted))
        line(f"{name}: answered among the first three", "100 %", f"{right} of {len(queries(name))}")
    page.close()
    with served(folder / "many") as http:
        for name, address in (("file://", (folder / "many").as_uri()), ("http", http)):
            times = [first_result(browser, address) for _ in range(5)]
            line(
                f"first result at 6x throttle, {COUNT} procedures, {name}",
                "at most 400 ms",
                f"{median(times):.0f} ms, median of 5, load {os.getloadavg()[0]:.1f}",
            )


def main() -> None:
    """Print everything."""
    line("what", "target", "measured")
    line("load of this machine", "", f"{os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    cards()
    with tempfile.TemporaryDirectory() as name:
        site(Path(name))
        if not CHROMIUM.exists():
            print(f"no browser: {CHROMIUM} is absent")
            return
        from playwright.sync_api import sync_playwright

        with sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
            browser_figures(browser, Path(name))
            browser.close()


if __name__ == "__main__":
    main()
