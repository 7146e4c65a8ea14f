"""Where each page of the site stands."""

from __future__ import annotations

import re

from stepwell.publish.sheet import Sheet


def slug(name: str) -> str:
    """A name as a file's name: never a path, never empty."""
    return re.sub(r"[^a-z0-9-]+", "-", name.lower()).strip("-") or "unnamed"


def card_href(sheet: Sheet) -> str:
    """The page of a procedure, from the top of the site."""
    return f"{sheet.language}/{slug(sheet.id)}.html"


def one_file_href(sheet: Sheet) -> str:
    """The card as one file, from the top of the site; empty where there is none. Only emergencies have one."""
    return f"{sheet.language}/one-file/{slug(sheet.id)}.html" if sheet.kind == "emergency" else ""
