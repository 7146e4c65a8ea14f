"""A request to change something, read with suspicion: what is not exactly an edit is refused."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from stepwell.authoring.editing.edit import Accept, Add, Delete, Edit, Move, Plain, Put
from stepwell.source.nodes import Mapping as Tree
from stepwell.source.nodes import plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse_text

DEEPEST = 12
"""Things stand inside each other at most so deep in one edit."""
ODD = "This is no edit that the page could have sent."


class AskedError(Exception):
    """The request is not one that the page makes, or a text in it can't be read. The message says which."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """An edit of the version ``base``; ``id`` is that of the item it is about, to find it again in another version."""

    base: str
    edit: Edit | None
    what: str = ""


def asked(body: bytes) -> Asked:
    """The request in a body. Raises AskedError."""
    try:
        value = json.loads(body.decode("utf-8"), parse_constant=_no_constant)
    except (UnicodeDecodeError, ValueError, RecursionError):
        raise AskedError("The request is not JSON in UTF-8.") from None
    if not isinstance(value, dict) or set(value) - {"base", "edit", "what"}:
        raise AskedError(ODD)
    base, edit = value.get("base"), value.get("edit")
    if not isinstance(base, str) or not (edit is None or isinstance(edit, dict)):
        raise AskedError(ODD)
    what = value.get("what", "")
    return Asked(base=base, edit=None if edit is None else _edit(edit), what=what[:120] if isinstance(what, str) else "")


def _edit(value: Mapping[str, object]) -> Edit:
    fields = {key: one for key, one in value.items() if key != "sort"}
    match value.get("sort"), frozenset(fields):
        case "put", keys if keys in ({"at", "key", "value"}, {"at", "key", "yaml"}):
            plain = _written(_str(fields["yaml"])) if "yaml" in fields else fields["value"]
            return Put(at=_str(fields["at"]), key=_key(fields["key"]), value=_plain(plain))
        case "take", keys if keys == {"at", "key"}:
            return Put(at=_str(fields["at"]), key=_key(fields["key"]), present=False)
        case "add", keys if keys == {"to", "index", "item"}:
            return Add(to=_str(fields["to"]), index=_whole(fields["index"]), item=_plain(fields["item"]))
        case "move", keys if keys == {"at", "to", "index"}:
            return Move(at=_str(fields["at"]), to=_str(fields["to"]), index=_whole(fields["index"]))
        case "delete", keys if keys == {"at"}:
            return Delete(at=_str(fields["at"]))
        case "accept", keys if keys == {"at"}:
            return Accept(at=_str(fields["at"]))
    raise AskedError(ODD)


def _no_constant(word: str) -> object:
    raise ValueError(word)


def _str(value: object) -> str:
    if not isinstance(value, str):
        raise AskedError(ODD)
    return value


def _key(value: object) -> str:
    found = _str(value)
    if not found.replace("-", "").isalpha() or not found.isascii() or len(found) > 40:
        raise AskedError(ODD)
    return found


def _whole(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value < 100_000:
        raise AskedError(ODD)
    return value


def _plain(value: object, deep: int = 0) -> Plain:
    """The value, if a file of the unit may hold it."""
    if deep > DEEPEST:
        raise AskedError("Things stand inside each other too deep.")
    match value:
        case None | bool() | str():
            return value
        case int() | float() if abs(value) < 1e15:
            return value
        case list():
            return [_plain(one, deep + 1) for one in value]
        case dict():
            return {_str(key): _plain(one, deep + 1) for key, one in value.items()}
    raise AskedError(ODD)


def _written(text: str) -> Plain:
    """The value of a text that was typed as the file has it. Raises AskedError with what is wrong."""
    notes = Notes("")
    root = parse_text(f"k: {text}\n" if "\n" not in text.strip() else "k:\n" + _deeper(text), notes)
    if notes.findings:
        raise AskedError(f"{notes.findings[0].message} {notes.findings[0].mend}")
    entry = root.get("k") if isinstance(root, Tree) and len(root.entries) == 1 else None
    if entry is None:
        raise AskedError("This is more than one value.")
    return cast(Plain, plain_value(entry.value))


def _deeper(text: str) -> str:
    return "".join(f"  {line}\n" for line in text.splitlines())
