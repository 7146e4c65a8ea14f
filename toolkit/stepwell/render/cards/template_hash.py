"""The hash of everything that a card is laid out with: the template's files and the fonts."""

from __future__ import annotations

import hashlib
from functools import cache

from stepwell.resources import data_dir


@cache
def template_hash() -> str:
    """SHA-256 over the names and bytes of the card's template and of the fonts, in order of name."""
    root = data_dir("site_templates")
    total = hashlib.sha256()
    for folder in ("card", "fonts"):
        for path in sorted((root / folder).rglob("*")):
            if path.is_file():
                total.update(path.relative_to(root).as_posix().encode() + b"\0")
                total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()
