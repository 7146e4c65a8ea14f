"""Values as the files of a unit write them: short things on one line, steps and warnings one key to a line."""

from __future__ import annotations

import json

from stepwell.authoring.editing.edit import EditError, Plain
from stepwell.source.decode import FORBIDDEN, described
from stepwell.source.nodes import Mapping, Scalar, plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse_text

BLOCKS = frozenset(["steps", "of", "outcomes", "otherwise", "warn", "body"])
"""Keys whose value is written below them."""
WIDE = 118
"""A list that would make its line longer than this is written one item to a line."""
_TRUTHS = frozenset(["y", "n", "yes", "no", "on", "off", "true", "false", "null", "none", "~"])


def entry(key: str, value: Plain, pad: int) -> str:
    """``key: value`` as a block at a column (from 0), without the pad before its first line and without a last newline."""
    name = one_line(key, flow=False)
    if isinstance(value, list | dict) and value and key in BLOCKS:
        deeper = pad + 2
        return f"{name}:\n{' ' * deeper}{block(value, deeper)}"
    line = f"{name}: {one_line(value, flow=False)}"
    if isinstance(value, list) and len(value) > 1 and pad + len(line) > WIDE:
        return f"{name}:" + "".join(f"\n{' ' * (pad + 2)}- {one_line(one, flow=True)}" for one in value)
    return line


def block(value: Plain, pad: int) -> str:
    """A value as a block at a column, without the pad before its first line."""
    between = "\n" + " " * pad
    if isinstance(value, dict) and value:
        return between.join(entry(key, one, pad) for key, one in value.items())
    if isinstance(value, list) and value:
        return between.join(f"- {block(one, pad + 2)}" for one in value)
    return one_line(value, flow=False)


def one_line(value: Plain, *, flow: bool) -> str:
    """A value on one line. ``flow``: within brackets or braces."""
    match value:
        case bool():
            return "true" if value else "false"
        case None:
            return "null"
        case int() | float():
            return repr(value)
        case str():
            return _text(value, flow=flow)
        case list():
            return "[" + ", ".join(one_line(one, flow=True) for one in value) + "]"
        case dict():
            pairs = (f"{one_line(key, flow=True)}: {one_line(one, flow=True)}" for key, one in value.items())
            return "{" + ", ".join(pairs) + "}"


def _text(text: str, *, flow: bool) -> str:
    """The text plain where it reads back as itself, else in quotes."""
    bad = FORBIDDEN.search(text)
    if bad is not None:
        raise EditError(described(bad[0]), "Delete it and type the words again; it often comes along when text is pasted.")
    if _plain(text, flow=flow):
        return text
    return json.dumps(text, ensure_ascii=False)


def _plain(text: str, *, flow: bool) -> bool:
    if not text or text != text.strip() or text.lower() in _TRUTHS or any(sign in text for sign in "\n\t#"):
        return False
    if not (text[0].isalnum() or text[0] in "(“‘–"):
        return False
    notes = Notes("")
    root = parse_text(f"{{k: {text}, z: 1}}" if flow else f"k: {text}", notes)
    found = root.get("k") if isinstance(root, Mapping) else None
    if notes.findings or found is None or not isinstance(found.value, Scalar):
        return False
    alone = {"k": text, "z": 1} if flow else {"k": text}
    return root is not None and plain_value(root) == alone and found.value.plain
