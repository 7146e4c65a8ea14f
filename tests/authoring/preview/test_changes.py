"""Edits through the server: saved with everything else as it was, never onto another version, and taken back."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.authoring.preview.conftest import Caller, Reply, serving
from tests.authoring.preview.test_view import row


def path(caller: Caller, name: str = "right") -> Path:
    return caller.root / f"procedures/{name}.yaml"


def edit(caller: Caller, name: str, edit: dict[str, Any], base: str = "", **more: Any) -> Reply:
    base = base or caller.view(name, checked=False)["digest"]
    return caller.post(f"edit/{name}", {"base": base, "edit": edit, **more})


def put(at: str, key: str, value: Any) -> dict[str, Any]:
    return {"sort": "put", "at": at, "key": key, "value": value}


def test_an_edit_changes_its_own_characters_and_no_others(bench: Caller) -> None:
    before = path(bench).read_bytes()
    found = edit(bench, "right", put("/body/3", "say", "Wait a minute."))
    assert found.status == 200
    assert path(bench).read_bytes() == before.replace(b'"Wait 60 s."', b"Wait a minute.")
    assert row(bench.view("right", checked=False), "w9xy")["title"] == "Wait a minute."


def test_the_verdict_follows_an_edit(bench: Caller) -> None:
    found = edit(bench, "right", {"sort": "move", "at": "/body/0", "to": "/body", "index": 4})
    assert found.status == 200
    while not (view := bench.view("right"))["fresh"]:
        pass
    wet = [one for one in view["findings"] if one["rule"] == "built-in-sensor-zeroed-wet"]
    assert [one["at"] for one in wet] == [row(view, "a1bc")["path"]]


def test_undo_and_redo_restore_the_bytes_also_after_a_restart(bench: Caller) -> None:
    versions = [path(bench).read_bytes()]
    for value in ("One.", "Two: with # signs", "Three {vent}."):
        assert edit(bench, "right", put("/body/3", "say", value), what=f"say {value}").status == 200
        versions.append(path(bench).read_bytes())
    assert bench.view("right", checked=False)["undo"] == "say Three {vent}."
    for wanted in reversed(versions[:-1]):
        assert bench.post("undo/right", {"base": bench.view("right", checked=False)["digest"]}).status == 200
        assert path(bench).read_bytes() == wanted
    with serving(bench.root) as again:
        for wanted in versions[1:]:
            base = again.view("right", checked=False)["digest"]
            assert again.post("redo/right", {"base": base}).status == 200
            assert path(bench).read_bytes() == wanted
        assert again.view("right", checked=False)["redo"] is None
    assert (bench.root / ".stepwell/.gitignore").read_text() == "*\n"


def test_a_file_that_changed_on_disk_is_not_written_over(bench: Caller) -> None:
    base = bench.view("right", checked=False)["digest"]
    elsewhere = path(bench).read_bytes().replace(b"Wait 60 s.", b"Wait 90 s.")
    path(bench).write_bytes(elsewhere)
    found = edit(bench, "right", put("/body/3", "say", "Wait a minute."), base)
    assert found.status == 409
    assert path(bench).read_bytes() == elsewhere
    assert "Wait a minute." in found.json["mine"]
    assert "Wait 90 s." in found.json["theirs"]
    assert edit(bench, "right", put("/body/3", "say", "Wait a minute."), found.json["digest"]).status == 200


def test_of_two_tabs_the_second_is_told(bench: Caller) -> None:
    base = bench.view("right", checked=False)["digest"]
    news = bench.view("right")["news"]
    assert edit(bench, "right", put("/body/3", "say", "The first tab."), base).status == 200
    told = bench.server.desk.wait(news, 5)
    assert told > news
    found = edit(bench, "right", put("/body/3", "say", "The second tab."), base)
    assert found.status == 409
    assert "The first tab." in path(bench).read_text()
    assert bench.post("undo/right", {"base": base}).status == 409


def test_after_a_change_elsewhere_there_is_nothing_to_undo(bench: Caller) -> None:
    assert edit(bench, "right", put("/body/3", "say", "One.")).status == 200
    path(bench).write_bytes(path(bench).read_bytes() + b"# a line by hand\n")
    view = bench.view("right", checked=False)
    assert view["undo"] is None
    assert bench.post("undo/right", {"base": view["digest"]}).status == 422


def test_a_new_step_has_an_id_that_was_never_used(bench: Caller) -> None:
    new = {"sort": "add", "to": "/body", "index": 2, "item": {"id": "+", "who": "nurse", "say": "Look at {vent}."}}
    found = edit(bench, "right", new)
    minted = found.json["minted"][0]
    made = row(bench.view("right", checked=False), minted)
    assert (made["path"], made["values"]["say"]) == ("/body/2", "Look at {vent}.")


def test_a_value_may_be_typed_as_the_file_has_it(bench: Caller) -> None:
    typed = {"sort": "put", "at": "/body/3", "key": "do", "yaml": "[{open: vent}, {wait: 5 s}]"}
    assert edit(bench, "right", typed).status == 200
    assert row(bench.view("right", checked=False), "w9xy")["values"]["do"] == [{"open": "vent"}, {"wait": "5 s"}]
    found = edit(bench, "right", typed | {"yaml": "[{open: vent"})
    assert found.status == 400
    assert found.json["why"]


@pytest.mark.parametrize(
    "body",
    [
        b"", b"{", b"[]", b"null", b'{"base": 1, "edit": {}}', b'{"base": "x", "edit": {"sort": "put"}}', b"\xff\xfe{}",
        b'{"base": "x", "edit": {"sort": "put", "at": "", "key": "../x", "value": 1}}', b"[" * 5000, b'{"base": NaN}',
        b'{"base": "x", "edit": {"sort": "move", "at": "/body/0", "to": "/body", "index": -1}}',
        b'{"base": "x", "edit": {"sort": "put", "at": "/body/0", "key": "say", "value": 1e999}}',
        b'{"base": "x", "edit": {"sort": "add", "to": "/body", "index": 0, "item": ' + b"[" * 50 + b"]" * 50 + b"}}",
    ],
)  # fmt: skip
def test_what_is_no_edit_is_refused(bench: Caller, body: bytes) -> None:
    before = path(bench).read_bytes()
    assert bench.post("edit/right", body).status == 400
    assert path(bench).read_bytes() == before


def test_an_edit_that_the_text_does_not_permit_is_refused_with_a_mend(bench: Caller) -> None:
    before = path(bench).read_bytes()
    for one in (put("/body/99", "say", "x"), put("/body/3", "say", "a\u202eb"), {"sort": "delete", "at": "/body"}):
        found = edit(bench, "right", one)
        assert found.status == 422
        assert found.json["why"]
    assert path(bench).read_bytes() == before


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": "http://evil.example"}, 403), ({"Host": "evil.example"}, 403), ({"Content_Type": "text/plain"}, 415),
        ({"Sec_Fetch_Site": "cross-site"}, 403), ({"Content_Length": "9999999"}, 413), ({"Content_Length": "-1"}, 411),
        ({"Transfer_Encoding": "chunked"}, 411),
    ],
)  # fmt: skip
def test_a_write_from_elsewhere_is_refused(bench: Caller, headers: dict[str, str], status: int) -> None:
    before = path(bench).read_bytes()
    base = bench.view("right", checked=False)["digest"]
    body = {"base": base, "edit": put("/body/3", "say", "Owned.")}
    assert bench.post("edit/right", body, **headers).status == status
    assert path(bench).read_bytes() == before


def test_a_write_without_origin_or_secret_is_refused(bench: Caller) -> None:
    before = path(bench).read_bytes()
    body = json.dumps(
        {"base": bench.view("right", checked=False)["digest"], "edit": put("/body/3", "say", "Owned.")}
    ).encode()
    token = bench.server.door.token
    assert bench.raw("POST", f"/{token}/edit/right", body, Content_Type="application/json").status == 403
    assert bench.raw("POST", "/edit/right", body, Content_Type="application/json", Origin=bench.origin).status == 404
    assert bench.post("edit/..%2funit", json.loads(body)).status == 404
    assert bench.post("edit/../../unit", json.loads(body)).status == 404
    assert path(bench).read_bytes() == before


def test_a_file_that_is_not_utf_8_is_not_touched(bench: Caller) -> None:
    path(bench).write_bytes(path(bench).read_bytes() + b"# \xe9t\xe9\n")
    found = edit(bench, "right", put("/body/3", "say", "Wait."))
    assert found.status == 422
    assert "UTF-8" in found.json["why"]


def test_line_ends_and_the_mark_at_the_start_stay(bench: Caller) -> None:
    stored = b"\xef\xbb\xbf" + path(bench).read_bytes().replace(b"\n", b"\r\n")
    path(bench).write_bytes(stored)
    assert edit(bench, "right", put("/body/3", "say", "Wait a minute.")).status == 200
    assert path(bench).read_bytes() == stored.replace(b'"Wait 60 s."', b"Wait a minute.")
    new = {"sort": "add", "to": "/body", "index": 2, "item": {"id": "+", "who": "nurse", "say": "Look."}}
    assert edit(bench, "right", new).status == 200
    assert path(bench).read_bytes().count(b"\n") == path(bench).read_bytes().count(b"\r\n")
