"""Plain scalars by the core schema of YAML 1.2 (section 10.3.2): ``off``, ``no`` and ``1:30`` are text, ``0123`` is 123."""

from __future__ import annotations

import re
from typing import TypeAlias

Scalars: TypeAlias = str | int | float | bool | None

_NULL = frozenset({"", "~", "null", "Null", "NULL"})
_TRUE = frozenset({"true", "True", "TRUE"})
_FALSE = frozenset({"false", "False", "FALSE"})
_NUMBER_START = frozenset("-+.0123456789")
_INT = re.compile(r"[-+]?[0-9]{1,300}")
_OCTAL = re.compile(r"0o[0-7]{1,300}")
_HEX = re.compile(r"0x[0-9a-fA-F]{1,300}")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_INFINITE = re.compile(r"[-+]?\.(?:inf|Inf|INF)")
_NAN = frozenset({".nan", ".NaN", ".NAN"})


def resolve(text: str) -> Scalars:
    """The value of a plain (unquoted) scalar. Absurdly long numbers stay text."""
    if text in _NULL:
        return None
    if text in _TRUE:
        return True
    if text in _FALSE:
        return False
    if text[0] not in _NUMBER_START:
        return text
    if _INT.fullmatch(text):
        return int(text)
    if _OCTAL.fullmatch(text):
        return int(text[2:], 8)
    if _HEX.fullmatch(text):
        return int(text[2:], 16)
    if len(text) <= 400 and _FLOAT.fullmatch(text):
        return float(text)
    if _INFINITE.fullmatch(text):
        return float("-inf") if text[0] == "-" else float("inf")
    if text in _NAN:
        return float("nan")
    return text
