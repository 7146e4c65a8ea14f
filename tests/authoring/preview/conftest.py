"""A unit that is served on this computer, and a caller that can ask for anything, also what no browser would."""

from __future__ import annotations

import http.client
import json
import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.server import Server
from tests.cli.unit import write_unit

AS_OF = date(2026, 11, 28)
TOKEN = "a-secret-part-for-tests"
PROTOCOLS = Path(__file__).parents[3] / "protocols"


@dataclass(frozen=True)
class Reply:
    status: int
    body: bytes
    headers: dict[str, str]

    @property
    def json(self) -> Any:
        return json.loads(self.body)


@dataclass(frozen=True)
class Caller:
    """Asks a served unit. ``path`` is below the secret part unless it begins with a slash."""

    server: Server
    root: Path

    @property
    def origin(self) -> str:
        return f"http://{self.server.door.hosts[0]}"

    def raw(self, method: str, path: str, body: bytes | None = None, **headers: str) -> Reply:
        connection = http.client.HTTPConnection("127.0.0.1", self.server.door.port, timeout=20)
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        sent = {"Host": self.server.door.hosts[0]} | {key.replace("_", "-"): value for key, value in headers.items()}
        if body is not None:
            sent.setdefault("Content-Length", str(len(body)))
        for key, value in sent.items():
            connection.putheader(key, value)
        connection.endheaders(body)
        answer = connection.getresponse()
        found = Reply(answer.status, answer.read(), {key.lower(): value for key, value in answer.getheaders()})
        connection.close()
        return found

    def get(self, path: str, **headers: str) -> Reply:
        return self.raw("GET", f"/{TOKEN}/{path}", **headers)

    def post(self, path: str, value: object, **headers: str) -> Reply:
        body = value if isinstance(value, bytes) else json.dumps(value).encode()
        return self.raw(
            "POST", f"/{TOKEN}/{path}", body, **{"Origin": self.origin, "Content_Type": "application/json"} | headers
        )

    def view(self, name: str, *, checked: bool = True, seconds: float = 20.0) -> Any:
        """The view of a procedure; once it has been checked."""
        until = time.monotonic() + seconds
        while True:
            found = self.get(f"view/{name}").json
            if not checked or not found["checking"]:
                return found
            assert time.monotonic() < until, "the check takes too long"
            time.sleep(0.02)


@contextmanager
def serving(root: Path) -> Iterator[Caller]:
    desk = Desk(root=root.resolve(), as_of=AS_OF)
    with Server(desk, "127.0.0.1", 0, TOKEN) as server:
        desk.start()
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
        thread.start()
        try:
            yield Caller(server, root)
        finally:
            desk.stop()
            server.shutdown()
            thread.join()


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Caller]:
    """The very small unit of the tests of the command line."""
    write_unit(tmp_path, bad=True)
    with serving(tmp_path) as caller:
        yield caller


@pytest.fixture(scope="module")
def still(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Caller]:
    """The same for tests that change nothing."""
    with serving(write_unit(tmp_path_factory.mktemp("still"), bad=True)) as caller:
        yield caller


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[Caller]:
    """The invented unit that ships with the tool."""
    shutil.copytree(PROTOCOLS, tmp_path / "unit")
    with serving(tmp_path / "unit") as caller:
        yield caller
