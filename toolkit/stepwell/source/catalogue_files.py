"""The rules that come with the tool, as their files."""

from __future__ import annotations

from functools import cache

from stepwell.resources import package_dir
from stepwell.source.files import SUFFIX


@cache
def catalogue_files() -> dict[str, str]:
    """The text of each file by its name."""
    folder = package_dir("rules/catalogue")
    return {path.name: path.read_text(encoding="utf-8") for path in sorted(folder.glob(f"*{SUFFIX}"))}
