"""Texts as YAML writes them: plain where that is safe, in quotes where it is not."""

from __future__ import annotations

import json
import re

_PLAIN = re.compile(r"[A-Za-z][^\n:#{}\[\],&*!|>'\"%@`]*[^\s:#{}\[\],&*!|>'\"%@`]|[A-Za-z]")
_WORDS = frozenset(["y", "n", "yes", "no", "on", "off", "true", "false", "null", "none", "~"])


def scalar(text: str) -> str:
    """The text as a value; it reads back as the same text."""
    if _PLAIN.fullmatch(text) and text.lower() not in _WORDS:
        return text
    return json.dumps(text, ensure_ascii=False)


def listing(items: tuple[str, ...]) -> str:
    """Texts as a list on one line."""
    return "[" + ", ".join(map(scalar, items)) + "]"
