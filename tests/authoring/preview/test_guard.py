"""Nobody but the page itself is answered: other names, other pages, no secret part, paths that lead out, odd bodies."""

from __future__ import annotations

import argparse
import io
import socket

import pytest

from stepwell.authoring.preview.guard import LARGEST_BODY, loopback
from stepwell.cli.console import console_of
from stepwell.cli.failure import UsageProblem
from stepwell.cli.preview import run
from tests.authoring.preview.conftest import TOKEN, Caller


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "evil.example:{port}", "127.0.0.1:1", "", "localhost.evil:{port}"]
)
def test_another_name_for_this_computer_is_refused(still: Caller, host: str) -> None:
    found = still.get("unit", Host=host.format(port=still.server.door.port))
    assert found.status == 403
    assert b"Bench" not in found.body


def test_localhost_is_the_same_computer(still: Caller) -> None:
    assert still.get("unit", Host=f"localhost:{still.server.door.port}").status == 200


@pytest.mark.parametrize(
    "path", ["/", "/unit", "//unit", f"/{TOKEN}x/unit", f"/{TOKEN[:-1]}/unit", "/%00/unit", f"/{TOKEN.upper()}/unit"]
)
def test_without_the_secret_part_there_is_nothing(still: Caller, path: str) -> None:
    assert still.raw("GET", path).status == 404


@pytest.mark.parametrize("header", [{"Origin": "http://evil.example"}, {"Origin": "null"}, {"Sec_Fetch_Site": "cross-site"}])
def test_another_page_is_refused(still: Caller, header: dict[str, str]) -> None:
    assert still.get("unit", **header).status == 403


@pytest.mark.parametrize(
    "path",
    [
        "../unit.yaml", "..%2funit.yaml", "view/../unit.yaml", "view/..%2f..%2funit", "view/%2e%2e/unit", "drawn/../../x",
        "page.js/../../../unit.yaml", "view//etc/passwd", "%2fetc%2fpasswd", "view/right.yaml",
        "..\\unit.yaml", "view/%7f", "view/%00",
    ],
)  # fmt: skip
def test_no_path_leads_to_a_file(still: Caller, path: str) -> None:
    found = still.get(path)
    assert found.status == 404
    assert b"Bench" not in found.body


def test_every_answer_forbids_what_the_page_does_not_need(still: Caller) -> None:
    for path in ("", "page.css", "page.js", "unit", "view/right", "nothing"):
        headers = still.get(path).headers
        assert "default-src 'none'" in headers["content-security-policy"]
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
    page = still.get("").body.decode()
    assert "<style" not in page
    assert "<script>" not in page
    assert "http" not in page


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "PATCH"])
def test_other_methods_are_not_known(still: Caller, method: str) -> None:
    assert still.raw(method, f"/{TOKEN}/unit").status == 501


def test_what_is_no_request_is_refused(still: Caller) -> None:
    with socket.create_connection(("127.0.0.1", still.server.door.port), timeout=10) as wire:
        wire.sendall(b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n")
        assert b"Bad request" in wire.recv(200)
    assert still.get("unit").status == 200


def test_only_this_computer_is_listened_to_unless_told() -> None:
    assert loopback("127.0.0.1")
    assert loopback("::1")
    assert not loopback("192.0.2.7")
    assert not loopback("example.org")
    assert LARGEST_BODY < 1024 * 1024


@pytest.mark.parametrize(
    ("listen", "allow", "says"),
    [("192.0.2.7", False, "--allow-others"), ("0.0.0.0", True, "Name one"), ("::", True, "Name one")],
)
def test_the_command_refuses_to_be_reached_by_others(listen: str, allow: bool, says: str) -> None:
    args = argparse.Namespace(
        workspace="protocols",
        listen=listen,
        allow_others=allow,
        port=0,
        no_browser=True,
        cache=None,
        no_cache=True,
        as_of=None,
    )
    with pytest.raises(UsageProblem) as caught:
        run(args, console_of(io.StringIO(), io.StringIO(), {}))
    assert says in caught.value.mend
