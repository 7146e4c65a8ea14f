"""Everything that a card is laid out with: the template's files and the fonts, each with its hash."""

from __future__ import annotations

import hashlib
from functools import cache

from stepwell.resources import data_dir


@cache
def template_files() -> dict[str, str]:
    """SHA-256 of the bytes of each file, by its name below ``site_templates``."""
    root = data_dir("site_templates")
    return {
        path.relative_to(root).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for folder in ("card", "fonts")
        for path in sorted((root / folder).rglob("*"))
        if path.is_file()
    }
