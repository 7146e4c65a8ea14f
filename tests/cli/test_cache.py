"""The folder in which the command line keeps reports."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from stepwell.cli import cache
from stepwell.cli.cache import Folder, cache_of
from stepwell.report.keep import NoCache
from tests.cli.conftest import Call


def entries(folder: Path) -> list[Path]:
    return sorted(folder.iterdir()) if folder.exists() else []


@pytest.mark.parametrize("verb", [("check",), ("check", "--slips")])
def test_the_second_call_says_the_same_from_what_was_kept(
    call: Call, good: Path, tmp_path: Path, verb: tuple[str, ...]
) -> None:
    kept = tmp_path / "kept"
    first = call(*verb, good, "--cache", kept)
    before = {entry: entry.stat().st_mtime_ns for entry in entries(kept)}
    assert before
    again = call(*verb, good, "--cache", kept)
    assert (again.code, again.out) == (first.code, first.out)
    assert {entry: entry.stat().st_mtime_ns for entry in entries(kept)} == before
    assert call(*verb, good, "--no-cache").out == first.out


def test_a_change_is_seen(call: Call, good: Path, bad: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    assert call("check", good, "--cache", kept).code == 0
    for file in bad.rglob("*.yaml"):
        (good / file.relative_to(bad)).write_bytes(file.read_bytes())
    assert call("check", good, "--cache", kept).code == call("check", good).code == 1


def test_every_damaged_entry_is_passed_over_and_mended(call: Call, bad: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    first = call("check", bad, "--cache", kept)
    for entry in entries(kept):
        entry.write_bytes(b"\xff{")
    assert call("check", bad, "--cache", kept) == first
    assert all(entry.read_bytes().startswith(b"{") for entry in entries(kept))


def test_off(call: Call, good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = tmp_path / "kept"
    monkeypatch.setenv(cache.VARIABLE, str(kept))
    call("check", good, "--no-cache")
    assert not kept.exists()
    call("check", good)
    assert entries(kept)
    assert isinstance(cache_of(None, False, {cache.VARIABLE: "off"}), NoCache)
    own = cache_of(None, False, {"XDG_CACHE_HOME": str(tmp_path), "LOCALAPPDATA": str(tmp_path)})
    assert isinstance(own, Folder)
    assert own.folder.parts[-2:] == ("stepwell", "reports")


def test_a_folder_that_can_not_be_written_is_no_fault(call: Call, good: Path, tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder", encoding="utf-8")
    assert call("check", good, "--cache", in_the_way).code == 0


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no owner and mode of this kind")
def test_what_others_may_write_to_is_not_read(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.put("k", "text")
    assert folder.get("k") == "text"
    (tmp_path / "k.json").chmod(0o666)
    assert folder.get("k") is None
    (tmp_path / "real").write_text("text", encoding="utf-8")
    (tmp_path / "l.json").symlink_to(tmp_path / "real")
    assert folder.get("l") is None


def test_the_oldest_are_let_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "MOST", 3)
    folder = Folder(tmp_path)
    for number in range(5):
        folder.put(f"k{number}", "text")
        os.utime(tmp_path / f"k{number}.json", (number, number))
    assert [entry.name for entry in entries(tmp_path)] == ["k2.json", "k3.json", "k4.json"]


def test_the_salt_is_that_of_the_source(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "package"
    package.mkdir()
    (package / "__init__.py").write_text("", encoding="utf-8")
    monkeypatch.setattr(cache.stepwell, "__file__", str(package / "__init__.py"))
    first = Folder(tmp_path).salt
    assert Folder(tmp_path).salt == first
    (package / "rule.yaml").write_text("rule: x", encoding="utf-8")
    assert Folder(tmp_path).salt != first
