"""Without a network, over http: the emergencies open, say that there is no connection, and of which day they are."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from stepwell.render.site.build import build_site
from stepwell.render.site.worker import WORKER, worker_script
from stepwell.resources import data_dir
from tests.site.conftest import Quiet
from tests.site.unit import AS_OF, REPORT, WORKSPACE

pytestmark = pytest.mark.browser

LATER = date(2026, 12, 9)
CARD = "en/air-in-return.html"
NOTE = "No connection to the site: this copy is of {day}."


class Wary(Quiet):
    """A server that can be told to answer late, or with a fault."""

    late = 0.0
    fault = 0

    def do_GET(self) -> None:  # noqa: N802  # the name that the server calls
        # Files that are written twice in a second would count as unchanged.
        del self.headers["If-Modified-Since"]
        if Wary.late and not self.path.endswith("sw.js"):
            time.sleep(Wary.late)
        if Wary.fault:
            self.send_error(Wary.fault)
            return
        super().do_GET()


class Server(ThreadingHTTPServer):
    daemon_threads = True
    allow_reuse_address = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that hangs up is no fault."""


@contextmanager
def serving(folder: Path, port: int = 0) -> Iterator[int]:
    """A server on a port that is given again when it is started anew, as one computer that is off for a while."""
    with Server(("127.0.0.1", port), partial(Wary, directory=str(folder))) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
        thread.start()
        yield server.server_port
        server.shutdown()
        thread.join()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    build_site(WORKSPACE, REPORT, as_of=AS_OF, out=tmp_path / "pages")
    return tmp_path / "pages"


@pytest.fixture
def page(chromium: Any) -> Iterator[Any]:
    Wary.late, Wary.fault = 0.0, 0
    context = chromium.new_context(viewport={"width": 360, "height": 740})
    context.clock.set_fixed_time("2026-12-10T08:00:00Z")
    yield context.new_page()
    Wary.late, Wary.fault = 0.0, 0
    context.close()


def visit(page: Any, base: str) -> None:
    """The first page, until what is kept is kept."""
    page.goto(f"{base}/index.html")
    page.evaluate("() => navigator.serviceWorker.ready")
    page.wait_for_function("() => Boolean(navigator.serviceWorker.controller)")


def test_after_one_visit_an_emergency_opens_without_a_network_and_says_so(folder: Path, page: Any) -> None:
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    with serving(folder) as port:
        base = f"http://127.0.0.1:{port}"
        visit(page, base)
        assert not page.locator(".offline").is_visible()
        assert complaints == []
    page.goto(f"{base}/{CARD}")
    assert page.locator("h1").inner_text() == "Air in the return line"
    assert page.locator(".offline").inner_text() == NOTE.format(day=AS_OF.isoformat())
    assert page.locator(".copy").inner_text() == "Copy of 2026-11-24 (16 days old)"
    page.emulate_media(media="print")
    assert page.locator(".offline").is_visible(), "a print says it too"
    page.emulate_media(media="screen")
    page.click("#walk-start")
    page.locator(".now").wait_for()
    page.goto(f"{base}/")
    page.fill("#find", "bubbles")
    assert page.locator("#hits b").first.inner_text() == "Air in the return line"
    with serving(folder, port):
        page.goto(f"{base}/{CARD}")
        assert not page.locator(".offline").is_visible()


def test_a_site_in_a_folder_of_a_server_looks_after_its_own_folder_alone(folder: Path, page: Any) -> None:
    (folder.parent / "other.html").write_text("<!doctype html><title>Another</title>", encoding="utf-8")
    with serving(folder.parent) as port:
        base = f"http://127.0.0.1:{port}/{folder.name}"
        visit(page, base)
        page.goto(f"http://127.0.0.1:{port}/other.html")
    page.goto(f"{base}/{CARD}")
    assert page.locator(".offline").is_visible()
    with pytest.raises(Exception, match="ERR_"):
        page.goto(f"http://127.0.0.1:{port}/other.html")


def test_what_was_not_kept_leads_to_what_was(folder: Path, page: Any) -> None:
    with serving(folder) as port:
        base = f"http://127.0.0.1:{port}"
        visit(page, base)
        page.goto(f"{base}/rules.html")
    page.goto(f"{base}/rules.html")
    assert page.locator("h1").inner_text() == "Rules", "a page that was visited is kept"
    assert page.locator(".offline").is_visible()
    page.goto(f"{base}/en/prime-adult.html")
    assert page.url.endswith("/offline.html")
    assert page.locator(".offline").is_visible()
    assert "was not kept on this device" in page.locator("main").inner_text()
    page.click("text=Air in the return line")
    page.wait_for_url(f"**/{CARD}")
    assert page.locator("h1").inner_text() == "Air in the return line"


def test_a_new_build_takes_the_place_of_what_was_kept(folder: Path, page: Any) -> None:
    with serving(folder) as port:
        base = f"http://127.0.0.1:{port}"
        visit(page, base)
        before = page.evaluate("() => caches.keys()")
        build_site(WORKSPACE, REPORT, as_of=LATER, out=folder)
        page.goto(f"{base}/about.html")
        assert "Copy of 2026-12-09" in page.locator(".copy").inner_text(), "the network comes first"
        # A browser looks for a new script a moment after it has shown a page.
        until = time.monotonic() + 20
        while (names := page.evaluate("() => caches.keys()")) == before or len(names) != 1:
            assert time.monotonic() < until, names
            page.wait_for_timeout(200)
    page.goto(f"{base}/{CARD}")
    assert page.locator(".offline").inner_text() == NOTE.format(day=LATER.isoformat())


def test_a_page_that_the_site_no_longer_has_is_not_kept(folder: Path, page: Any) -> None:
    with serving(folder) as port:
        base = f"http://127.0.0.1:{port}"
        visit(page, base)
        (folder / CARD).unlink()
        answer = page.goto(f"{base}/{CARD}")
        assert answer.status == 404
        page.goto(f"{base}/index.html")
    page.goto(f"{base}/{CARD}")
    assert page.url.endswith("/offline.html")


@pytest.mark.parametrize(("late", "fault"), [(9.0, 0), (0.0, 502)])
def test_a_server_that_does_not_answer_counts_as_no_connection(folder: Path, page: Any, late: float, fault: int) -> None:
    with serving(folder) as port:
        base = f"http://127.0.0.1:{port}"
        visit(page, base)
        Wary.late, Wary.fault = late, fault
        start = time.monotonic()
        page.goto(f"{base}/{CARD}", wait_until="commit")
        page.locator(".offline").wait_for()
        assert time.monotonic() - start < 8
        Wary.late, Wary.fault = 0.0, 0


def test_cards_in_one_file_and_calendars_are_not_answered_from_what_was_kept(folder: Path, page: Any) -> None:
    with serving(folder) as port:
        base = f"http://127.0.0.1:{port}"
        visit(page, base)
        alone = f"{base}/en/one-file/air-in-return.html"
        assert page.evaluate("path => fetch(path).then(() => true, () => false)", "sw.js") is False, "pages may not fetch"
        page.goto(alone)
    with pytest.raises(Exception, match="ERR_"):
        page.goto(alone)


def test_a_strange_page_in_the_way_is_not_kept(folder: Path, page: Any) -> None:
    """A log-in page of the ward's network, which answers for any address."""
    with serving(folder) as port:
        base = f"http://127.0.0.1:{port}"
        visit(page, base)
        real = (folder / CARD).read_bytes()
        (folder / CARD).write_text("<!doctype html><html lang='en'><title>Log in</title><h1>Log in</h1>", encoding="utf-8")
        page.goto(f"{base}/{CARD}")
        assert page.locator("h1").inner_text() == "Log in"
        (folder / CARD).write_bytes(real)
    page.goto(f"{base}/{CARD}")
    assert page.locator("h1").inner_text() == "Air in the return line"
    assert page.locator(".offline").is_visible()


def test_any_change_of_the_site_changes_the_script() -> None:
    folder = data_dir("site_templates") / "site" / "worker"
    one = worker_script(folder, {"a.html": "one"}, {"b.css": b"x"}, ["a.html"])
    assert one == worker_script(folder, {"a.html": "one"}, {"b.css": b"x"}, ["a.html"])
    assert one != worker_script(folder, {"a.html": "two"}, {"b.css": b"x"}, ["a.html"])
    assert one != worker_script(folder, {"a.html": "one"}, {"b.css": b"y"}, ["a.html"])
    assert b'var LIST = ["a.html"]' in one
    assert WORKER == "sw.js"
