"""Style, script and font of the pages: which parts of the templates make which file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path

SITE = "site"
SHEET = "sheet"
"""The bundle of the pages of procedures, whose size counts most; every other page has that of the site."""
TOLD = "told"
"""The bundle of what the committee reads of one procedure or rule."""
WALK = "walk"
"""What such a page loads when somebody goes through it step by step."""

FONT = "text.woff2"
CARD_STYLE = ("base", "sheet", "one_file")
"""The parts of the style that stand inside a card in one file."""

SUMS = "sums"
"""The bundle of the sums about equipment."""

TABLE = "(table)"
"""Stands for the table of the sums, which is no file of the templates."""

_STYLES: Mapping[str, tuple[str, ...]] = {
    SITE: ("base", "frame", "blocks", "rows", "home", "pages"),
    TOLD: ("base", "frame", "blocks", "rows", "pages"),
    SHEET: ("base", "frame", "sheet"),
    WALK: ("walk",),
    SUMS: ("base", "frame", "blocks", "rows", "sums"),
}
_SCRIPTS: Mapping[str, tuple[str, ...]] = {
    SITE: ("tools", "core", "find_box", "current"),
    TOLD: ("tools", "core"),
    SHEET: ("tools", "core", "sheet"),
    WALK: ("tools", "walk"),
    SUMS: ("tools", "core", TABLE, "sums"),
}


def loaded(bundle: str) -> tuple[str, ...]:
    """The paths of what a page of a bundle loads besides itself, from the top of the site."""
    return (f"assets/{bundle}.css", f"assets/{bundle}.js", f"assets/{FONT}")


def bundles(folder: Path, table: str) -> dict[str, bytes]:
    """The style, script and font files by path. ``folder`` is that of the assets in the templates, ``table`` the sums as a
    script."""
    made = {f"assets/{FONT}": (folder / FONT).read_bytes()}
    for name, parts in _STYLES.items():
        made[f"assets/{name}.css"] = style(folder, parts).encode()
    for name, parts in _SCRIPTS.items():
        made[f"assets/{name}.js"] = script(folder, parts, table).encode()
    return made


def style(folder: Path, parts: Iterable[str]) -> str:
    """The parts of the style as one text."""
    texts = (_lean((folder / "css" / f"{part}.css").read_text(encoding="utf-8")) for part in parts)
    return "".join(texts).replace("\n", "") + "\n"


def script(folder: Path, parts: Iterable[str], table: str = "") -> str:
    """The parts of the script as one function that is called at once, so that they share names with each other only."""
    texts = (table if part == TABLE else (folder / "js" / f"{part}.js").read_text(encoding="utf-8") for part in parts)
    body = "".join(map(_lean, texts))
    return f'(function () {{\n"use strict";\n{body}}}());\n'


def _lean(text: str) -> str:
    """Without what only authors need: comments that stand alone, and indentation."""
    whole = re.sub(r"^\s*/\*[^*]*\*/\n", "", text, flags=re.M)
    return "\n".join(line.strip() for line in whole.splitlines() if line.strip()) + "\n"
