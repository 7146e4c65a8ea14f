"""compare on the command line: folders, files, versions in git, what to say when it can't be done."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.cli.conftest import Call


@pytest.fixture(autouse=True)
def same_day(monkeypatch: pytest.MonkeyPatch) -> None:
    from datetime import date

    monkeypatch.setattr("stepwell.cli.compare.today", lambda: date(2026, 11, 25))


def change(root: Path, old: str, new: str, name: str = "procedures/right.yaml") -> None:
    path = root / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture
def other(good: Path) -> Path:
    """The unit without the step that covers the vent, which its rule asks for nothing about."""
    place = good.parent / "other"
    shutil.copytree(good, place)
    change(place, '  - {id: e5fg, who: nurse, say: "Cover {vent}.", do: {shut: vent}}\n', "")
    return place


def git(root: Path, *words: str) -> None:
    names = {"GIT_AUTHOR_NAME": "x", "GIT_AUTHOR_EMAIL": "x@x", "GIT_COMMITTER_NAME": "x", "GIT_COMMITTER_EMAIL": "x@x"}
    subprocess.run(["git", *words], cwd=root, check=True, capture_output=True, env={**os.environ, **names})


def test_two_folders(call: Call, good: Path, other: Path) -> None:
    result = call("compare", good, other)
    assert result.code == 1
    assert "Is anything weaker? YES" in result.out
    assert "a step is no longer done" in result.out
    assert "1 change, 1 shown." in result.out


def test_nothing_changed(call: Call, good: Path) -> None:
    result = call("compare", good, good)
    assert result.code == 0
    assert "there is no change of content" in result.out


def test_a_change_of_words_is_no_weakening(call: Call, good: Path, other: Path) -> None:
    shutil.rmtree(other)
    shutil.copytree(good, other)
    change(other, "done-call: Filled.", "done-call: The set is filled.")
    result = call("compare", good, other)
    assert result.code == 0
    assert "Words can weaken too" in result.out


def test_two_files_show_their_own_changes_and_count_the_others(call: Call, good: Path, other: Path) -> None:
    change(other, "label: vent,", "label: vent cover,", "rigs/bench.yaml")
    result = call("compare", good / "procedures/right.yaml", other / "procedures/right.yaml", "--no-slips")
    assert "1 change, 1 shown." in result.out
    assert "1 changes in other files" in result.out


def test_a_file_from_elsewhere_is_read_in_the_place_of_the_units_own(call: Call, good: Path, tmp_path: Path) -> None:
    mail = tmp_path / "here" / "draft from a colleague.yaml"
    text = (good / "procedures/right.yaml").read_text(encoding="utf-8")
    mail.write_text(text.replace("Zero {sensor}.", "Zero {sensor} now."), encoding="utf-8")
    result = call("compare", good / "procedures/right.yaml", mail, "--no-slips")
    assert "1 change, 1 shown." in result.out
    assert "reworded" in result.out


@pytest.mark.parametrize("form", ["json", "markdown", "html"])
def test_other_formats(call: Call, good: Path, other: Path, form: str) -> None:
    result = call("compare", good, other, "--no-slips", "--format", form)
    assert result.code == 1
    if form == "json":
        assert json.loads(result.out)["changes"] == 1


def test_a_packet_goes_into_a_file(call: Call, good: Path, other: Path) -> None:
    result = call("compare", good, other, "--no-slips", "--format", "pdf", "--out", "packet.pdf")
    assert (result.code, Path("packet.pdf").read_bytes()[:4]) == (1, b"%PDF")
    assert call("compare", good, other, "--format", "pdf").code == 2


def test_a_version_in_git(call: Call, good: Path) -> None:
    git(good, "init", "-q")
    git(good, "add", ".")
    git(good, "commit", "-qm", "first")
    change(good, "use-when: The set is dry.", "use-when: The set is quite dry.")
    os.chdir(good)
    for old in ("HEAD:.", "HEAD:"):
        result = call("compare", old, ".", "--no-slips")
        assert "1 change, 1 shown." in result.out, result
    result = call("compare", "HEAD:procedures/right.yaml", "procedures/right.yaml", "--no-slips")
    assert "use-when" in result.out


def test_a_unit_in_a_folder_of_a_repository(call: Call, good: Path) -> None:
    top = good.parent
    git(top, "init", "-q")
    git(top, "add", "good")
    git(top, "commit", "-qm", "first")
    change(good, "use-when: The set is dry.", "use-when: The set is quite dry.")
    for place, old, new in ((top, "HEAD:good", "good"), (good, "HEAD:.", "."), (good, "HEAD:good", ".")):
        os.chdir(place)
        result = call("compare", old, new, "--no-slips")
        assert "1 change, 1 shown." in result.out, result


@pytest.mark.parametrize(
    ("old", "says"),
    [
        ("nowhere", "There is no file or folder nowhere"),
        ("no-such-version:.", "git knows no version no-such-version"),
        ("HEAD:../..", "leads out of the repository"),
        ("HEAD:elsewhere", "In HEAD there is no elsewhere"),
        ("--upload-pack:x", None),
        (":x", "names no version"),
    ],
)
def test_what_can_not_be_compared(call: Call, good: Path, old: str, says: str | None) -> None:
    git(good, "init", "-q")
    git(good, "add", ".")
    git(good, "commit", "-qm", "first")
    os.chdir(good)
    result = call("compare", old, ".")
    assert result.code == 2
    assert says is None or says in " ".join(result.err.split())


def test_without_git(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    result = call("compare", "HEAD:.", good)
    assert result.code == 2
    assert "git is not there" in result.err


def test_outside_of_a_repository(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(Path.cwd().parent))
    result = call("compare", "HEAD:.", good)
    assert result.code == 2
    assert "git could not do it" in result.err


def test_what_can_not_be_read_is_not_compared(call: Call, good: Path, other: Path) -> None:
    change(other, "who: nurse", "who: nobody")
    result = call("compare", good, other)
    assert result.code == 2
    assert "nothing is compared" in " ".join(result.err.split())


def test_a_fault_of_a_version_in_git_is_placed_in_that_version(call: Call, good: Path) -> None:
    change(good, 'who: nurse, say: "Hang', 'who: nobody, say: "Hang')
    git(good, "init", "-q")
    git(good, "add", ".")
    git(good, "commit", "-qm", "first")
    os.chdir(good)
    result = call("compare", "HEAD:.", ".")
    assert result.code == 2
    assert "HEAD:./procedures/right.yaml:" in result.out
