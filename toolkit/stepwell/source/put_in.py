"""A piece of a file with a letter replaced by a part, everything else and every place in the file as it was."""

from __future__ import annotations

import re
from dataclasses import replace

from stepwell.model.rig import Part
from stepwell.source.nodes import Listing, Mapping, Node, Scalar


def put_in(node: Node, letter: str, part: Part) -> Node:
    """The node for one part: ``s`` becomes its id, ``s.tap`` the part that its reference leads to, in texts ``{s}`` too.

    A reference that the part does not state, or that leads to several, stays as it is and is told as unknown.
    """
    inside = re.compile(rf"\{{{re.escape(letter)}(?:\.([a-z0-9-]+))?\}}")

    def named(match: re.Match[str]) -> str:
        found = _reached(part, match[1])
        return match[0] if found is None else f"{{{found}}}"

    def walk(node: Node) -> Node:
        match node:
            case Mapping():
                return replace(node, entries={key: replace(one, value=walk(one.value)) for key, one in node.entries.items()})
            case Listing():
                return replace(node, items=[walk(item) for item in node.items])
            case Scalar(value=str() as value):
                return _put(node, value)
        return node

    def _put(node: Scalar, value: str) -> Scalar:
        head, dot, attr = value.partition(".")
        whole = _reached(part, attr if dot else None) if head == letter else None
        text = inside.sub(named, value) if whole is None else whole
        return replace(node, text=text, value=text) if text != value else node

    return walk(node)


def _reached(part: Part, attr: str | None) -> str | None:
    if attr is None:
        return part.id
    found = part.ref(attr)
    return found[0] if len(found) == 1 else None


def size(nodes: list[Node]) -> int:
    """How many keys and values there are."""
    total = 0
    rest = list(nodes)
    while rest:
        node = rest.pop()
        total += 1
        match node:
            case Mapping(entries=entries):
                rest.extend(entry.value for entry in entries.values())
            case Listing(items=items):
                rest.extend(items)
            case Scalar():
                pass
    return total


def ids_in(nodes: list[Node]) -> list[Scalar]:
    """Every value of a key ``id``."""
    found: list[Scalar] = []
    rest = list(nodes)
    while rest:
        node = rest.pop()
        match node:
            case Mapping(entries=entries):
                rest.extend(entry.value for entry in entries.values())
                if "id" in entries and isinstance(value := entries["id"].value, Scalar):
                    found.append(value)
            case Listing(items=items):
                rest.extend(items)
            case Scalar():
                pass
    return found
