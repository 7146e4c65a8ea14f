"""A unit as documents, each a tree: procedures, rigs, rules, the unit itself, translations, and whatever else lies there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import is_dataclass
from typing import Any

from stepwell.compare.translations import SUFFIX, translation
from stepwell.compare.tree import Document, Node, content_fields, kebab, node_of
from stepwell.model.workspace import Workspace


def documents(workspace: Workspace, files: tuple[tuple[str, str], ...] = ()) -> tuple[Document, ...]:
    """Everything of a unit. ``files`` are (name, text) of what lies in its folder but is not in the model."""
    found = [Document(kind="unit", id="unit", root=node_of(workspace.unit))]
    for name in content_fields(Workspace):
        value = getattr(workspace, name)
        if name == "unit":
            continue
        if name == "translations" and any(file.endswith(SUFFIX) for file, _ in files):
            continue  # compared as files, with what is not confirmed
        if isinstance(value, tuple) and value and all(is_dataclass(one) for one in value):
            found += _each(value)
        elif value:
            root = Node(sort="setting", fields=((kebab(name), value),))
            found.append(Document(kind="setting", id=kebab(name), root=root))
    for name, text in files:
        if name.endswith(SUFFIX):
            found.append(Document(kind="translation", id=name, root=translation(text)))
            continue
        found.append(Document(kind="file", id=name, root=Node(sort="file", fields=(("text", text),))))
    return tuple(found)


def _each(values: tuple[Any, ...]) -> Iterator[Document]:
    seen: dict[str, int] = {}
    for value in values:
        name = identity(value)
        seen[name] = seen.get(name, 0) + 1
        once = name if seen[name] == 1 else f"{name} ({seen[name]})"
        yield Document(kind=kebab(type(value).__name__), id=once, root=node_of(value))


def identity(value: Any) -> str:
    """What a thing is known by: its id, its name, or the words that say what it is about."""
    for name in ("id", "name"):
        if isinstance(getattr(value, name, None), str):
            return str(getattr(value, name))
    about = [getattr(value, name, None) for name in ("rule", "procedure", "step", "language", "role", "key")]
    return " / ".join(str(one) for one in about if one)
