"""The report of a check of files that nobody changed: found again, and never after a change."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from stepwell.cli import layers, unchanged
from stepwell.cli.cache import Folder
from stepwell.cli.locate import Where, locate
from stepwell.cli.unchanged import Unchanged, digest_of
from tests.cli.conftest import Call
from tests.demo import PROTOCOLS

DAY = date(2026, 11, 25)


@pytest.fixture
def searches(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The units that were read and checked, one by one."""
    found: list[Path] = []
    real = layers.check

    def check(where: Where, *args: object, **more: object) -> object:
        found.append(where.root)
        return real(where, *args, **more)  # type: ignore[arg-type]  # handed on as it came

    monkeypatch.setattr(layers, "check", check)
    return found


@pytest.mark.parametrize("kind", ["text", "json", "junit"])
def test_the_second_call_reads_nothing_and_says_the_same(
    call: Call, good: Path, bad: Path, tmp_path: Path, searches: list[Path], kind: str
) -> None:
    for unit in (good, bad):
        again = [call("check", unit, "--cache", tmp_path / "kept", "--format", kind) for _ in range(3)]
        assert again[1] == again[2] == again[0]
        assert again[0] == call("check", unit, "--no-cache", "--format", kind) or kind == "json"
    assert searches == [good, good, bad, bad]


def test_whatever_changes_in_the_folder_is_seen(
    call: Call, good: Path, tmp_path: Path, searches: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    def checked(*more: object, unit: object = good) -> bool:
        before = len(searches)
        call("check", unit, "--cache", tmp_path / "kept", *more)
        return len(searches) > before

    assert checked()
    assert not checked()
    for file in sorted(good.rglob("*.yaml")):
        old = file.read_bytes()
        file.write_bytes(old + b"# \n")
        assert checked(), file
        file.write_bytes(old)
        assert not checked(), "the bytes are what they were"
    other = good / "rules" / "inner" / ".hidden.yaml"
    other.parent.mkdir(parents=True)
    assert checked(), "an empty folder more"
    other.write_text("a: 1", encoding="utf-8")
    assert checked()
    assert not checked()
    other.rename(other.with_name("shown.yaml"))
    assert checked()
    assert checked("--as-of", "2026-11-26")
    assert checked(unit=good / "procedures" / "right.yaml")
    assert not checked(unit=good / "procedures" / "right.yaml")
    monkeypatch.chdir(good)
    assert checked(unit="."), "paths are shown from here"
    assert not checked(unit=".")


def test_what_is_asked_for_besides_is_worked_out(call: Call, good: Path, tmp_path: Path, searches: list[Path]) -> None:
    kept = ("--cache", tmp_path / "kept")
    plain = call("check", good, *kept)
    with_slips = call("check", good, *kept, "--slips")
    assert len(with_slips.out) > len(plain.out)
    assert '"version": "2.1.0"' in call("check", good, *kept, "--format", "sarif").out
    assert len(searches) == 3
    assert call("check", good, *kept) == plain
    assert len(searches) == 3


def test_another_tool_is_another_key(good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    where, folder = locate([str(good)]), Folder(tmp_path)
    key = Unchanged(folder, where, DAY).key
    assert key == Unchanged(Folder(tmp_path), where, DAY).key is not None
    monkeypatch.setattr("stepwell.cli.cache._LIBRARIES", ("yaml",))
    assert Unchanged(Folder(tmp_path), where, DAY).key not in (key, None)


def test_what_is_no_ordinary_file_or_too_much_is_not_kept(good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert digest_of(good) is not None
    assert digest_of(good / "nowhere") is None
    monkeypatch.setattr(unchanged, "MOST_FILES", 3)
    assert digest_of(good) is None
    monkeypatch.undo()
    monkeypatch.setattr(unchanged, "MOST_BYTES", 100)
    assert digest_of(good) is None
    monkeypatch.undo()
    if sys.platform != "win32":
        (good / "rules").mkdir(exist_ok=True)
        (good / "rules" / "link.yaml").symlink_to(good / "unit.yaml")
        assert digest_of(good) is None


def test_version_control_is_left_out(good: Path) -> None:
    before = digest_of(good)
    (good / ".git").mkdir()
    (good / ".git" / "index").write_bytes(b"1")
    assert digest_of(good) == before
    (good / ".note").write_bytes(b"1")
    assert digest_of(good) != before


def test_a_change_during_the_check_is_not_kept(call: Call, good: Path, tmp_path: Path) -> None:
    folder = Folder(tmp_path / "kept")
    before = Unchanged(folder, locate([str(good)]), DAY)
    call("check", good, "--cache", tmp_path / "other")
    made = Unchanged(Folder(tmp_path / "other"), locate([str(good)]), DAY).report()
    assert made is not None
    (good / "unit.yaml").write_bytes((good / "unit.yaml").read_bytes() + b"\n")
    before.keep(made)
    assert not folder.folder.exists()


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "null",
        '{"format": "stepwell report 1"}',
        "[" * 100_000,
        '{"report": ' + "[" * 5_000 + "]" * 5_000 + "}",
    ],
    ids=["empty", "cut", "list", "null", "bare", "deep", "deep-inside"],
)
def test_a_hostile_entry_is_as_if_it_were_not_there(call: Call, good: Path, tmp_path: Path, text: str) -> None:
    kept = tmp_path / "kept"
    first = call("check", good, "--cache", kept)
    one = Unchanged(Folder(kept), locate([str(good)]), DAY)
    entry = kept / f"{one.key}.json"
    honest = entry.read_text(encoding="utf-8")
    entry.write_text(text, encoding="utf-8")
    assert one.report() is None
    assert call("check", good, "--cache", kept) == first
    assert one.report() is not None, "it was mended"
    # A report of another key, or one that says more than its digest covers, is none either.
    changed = json.loads(honest)
    for field, value in (("key", "0" * 64), ("report", changed["report"].replace("HOLDS", "VIOLATED")), ("sha256", "")):
        entry.write_text(json.dumps(changed | {field: value}), encoding="utf-8")
        assert one.report() is None


def test_nothing_heavy_is_loaded_where_nothing_was_changed(tmp_path: Path) -> None:
    """The demo in a process of its own: what reads files and what searches stay where they are."""
    code = (
        "import sys; from stepwell.cli.main import main; code = main(sys.argv[1:]);"
        "heavy = [m for m in sys.modules if m.startswith(('stepwell.source', 'stepwell.orders', 'stepwell.slips', 'yaml'))];"
        "print(code, heavy, file=sys.stderr)"
    )
    line = [sys.executable, "-c", code, "check", str(PROTOCOLS), "--cache", str(tmp_path), "--as-of", "2026-11-25"]
    first, second = (subprocess.run(line, capture_output=True, text=True, check=True, encoding="utf-8") for _ in range(2))
    assert second.stdout == first.stdout
    assert "stepwell.source.workspace" in first.stderr
    assert second.stderr == "0 []\n"
