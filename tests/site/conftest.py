"""A built site, a browser, and the two ways of looking at a site: from a stick and over http."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from stepwell.render.site.build import SiteResult, build_site
from tests.site.unit import AS_OF, REPORT, WORKSPACE

CHROMIUM = Path("/usr/bin/chromium")
_ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, SiteResult]:
    out = tmp_path_factory.mktemp("site")
    return out, build_site(WORKSPACE, REPORT, as_of=AS_OF, out=out)


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="session")
def served(site: tuple[Path, SiteResult]) -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(site[0]))) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
        thread.join()


@pytest.fixture(params=["file", "http"])
def base(request: pytest.FixtureRequest, site: tuple[Path, SiteResult]) -> str:
    """The address of the site's folder, without a slash at the end."""
    if request.param == "file":
        return site[0].as_uri()
    return str(request.getfixturevalue("served"))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    if not CHROMIUM.exists():
        pytest.skip(f"no browser: {CHROMIUM} is absent")
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=str(CHROMIUM), args=_ARGS)
        yield browser
        browser.close()


class Tab:
    """A page that remembers what it asked for and complained about."""

    def __init__(self, context: Any) -> None:
        self.page = context.new_page()
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("requestfailed", lambda request: self.complaints.append(f"failed: {request.url}"))
        self.page.on("console", lambda message: self.complaints.append(f"{message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", lambda dialog: (self.complaints.append("dialog"), dialog.dismiss()))


@pytest.fixture
def tab(chromium: Any) -> Iterator[Tab]:
    """A tab of a phone's size whose clock stands two days after the site was made."""
    context = chromium.new_context(viewport={"width": 360, "height": 740})
    context.clock.set_fixed_time("2026-11-26T08:00:00Z")
    yield Tab(context)
    context.close()
