"""Nothing is half-written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from stepwell.source.write import replace_dir, write_aside


def filled(name: str) -> Callable[[Path], None]:
    def build(folder: Path) -> None:
        (folder / name).write_text("x")

    return build


def test_a_file_is_replaced_whole_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    target = tmp_path / "new" / "a.txt"
    write_aside(target, b"one")
    write_aside(target, b"two")
    assert target.read_bytes() == b"two"
    assert [path.name for path in target.parent.iterdir()] == ["a.txt"]


def test_a_failed_write_leaves_the_old_file(tmp_path: Path) -> None:
    target = tmp_path / "a"
    target.mkdir()
    (target / "inside").write_text("kept")
    with pytest.raises(OSError, match="a"):
        write_aside(target, b"two")
    assert [path.name for path in tmp_path.iterdir()] == ["a"]
    assert (target / "inside").read_text() == "kept"


def test_a_folder_is_replaced_whole(tmp_path: Path) -> None:
    target = tmp_path / "site"
    replace_dir(target, filled("old.txt"))
    replace_dir(target, filled("new.txt"))
    assert [path.name for path in target.iterdir()] == ["new.txt"]
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_failed_build_leaves_the_old_folder(tmp_path: Path) -> None:
    target = tmp_path / "site"
    replace_dir(target, filled("old.txt"))

    def fail(folder: Path) -> None:
        (folder / "half.txt").write_text("y")
        raise RuntimeError("stopped")

    with pytest.raises(RuntimeError, match="stopped"):
        replace_dir(target, fail)
    assert [path.name for path in target.iterdir()] == ["old.txt"]
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_files_and_links_are_not_replaced_by_folders(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "link").symlink_to(tmp_path)
    for name in ("file", "link"):
        with pytest.raises(ValueError, match="not a folder"):
            replace_dir(tmp_path / name, lambda _: None)
