"""Both sides as plain trees: every leaf of the model that can differ stands in exactly one field of one node.

The trees are made by looking at the fields of the model's classes, so that a field added to the model later is
compared from that day on: at worst it is shown as a whole, never passed over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

CHILD_SLOTS = (
    "body", "lanes", "outcomes", "parts", "chains", "baselines", "roles", "numbers", "places", "signers", "quorums",
)  # fmt: skip
CHILD = "review"
"""A field that holds one thing with things of its own."""
PAIR_FIELDS = ("data", "words", "refs", "avoid", "policy")
"""Fields that are mappings in the file and pairs in the model; their order means nothing."""
NOT_CONTENT = ("path", "root", "span")
_KNOWN: dict[type, tuple[str, ...]] = {}
_CHILDREN: dict[type, frozenset[str]] = {}
_CAPITAL = re.compile(r"(?<=[a-z])(?=[A-Z])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """``sort`` is the class in kebab case, ``slot`` the field of the parent in which the node stands."""

    sort: str
    fields: tuple[tuple[str, Any], ...]
    slot: str = ""
    children: tuple[Node, ...] = ()

    def get(self, name: str) -> Any:
        """The value of a field, or None."""
        return next((value for field, value in self.fields if field == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One thing that is written, approved or set as a whole: a procedure, a rig, a rule, the unit, a file."""

    kind: str
    id: str
    root: Node


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """A tree as lists in the order of the page; the index is a node's handle."""

    nodes: tuple[Node, ...]
    parents: tuple[int, ...]
    children: tuple[tuple[int, ...], ...]


def kebab(name: str) -> str:
    """``AnyOrder`` and ``if_not`` as people write them: ``any-order``, ``if-not``."""
    return _CAPITAL.sub("-", name).lower().replace("_", "-")


def content_fields(cls: type[Any]) -> tuple[str, ...]:
    """Names of the fields of a class of the model that are content."""
    known = _KNOWN.get(cls)
    if known is None:
        known = tuple(field.name for field in fields(cls) if field.compare and field.name not in NOT_CONTENT)
        _KNOWN[cls] = known
    return known


def _child_fields(cls: type[Any]) -> frozenset[str]:
    """Fields that hold things, by their types: a list of words of the same name is a value, also when it is empty."""
    known = _CHILDREN.get(cls)
    if known is None:
        known = frozenset(
            spec.name for spec in fields(cls) if spec.name in CHILD_SLOTS and not str(spec.type).startswith("tuple[str")
        )
        _CHILDREN[cls] = known
    return known


def node_of(value: Any, slot: str = "") -> Node:
    """The tree of a dataclass of the model."""
    found: list[tuple[str, Any]] = []
    children: list[Node] = []
    for name in content_fields(type(value)):
        inner = getattr(value, name)
        if name == CHILD and is_dataclass(inner):
            children.append(node_of(inner, name))
        elif name in _child_fields(type(value)) and isinstance(inner, tuple) and all(is_dataclass(one) for one in inner):
            children.extend(node_of(one, name) for one in inner)
        elif name == CHILD and inner is None:
            continue
        elif name == "settings" and slot == "baselines":
            found.extend((f"settings.{part}", words) for part, words in sorted(_words_by_part(inner).items()))
        elif name in PAIR_FIELDS and _are_pairs(inner):
            found.extend((f"{kebab(name)}.{key}", one) for key, one in sorted(inner))
        else:
            found.append((kebab(name), _bare(inner) if name == "kit" else inner))
    return Node(sort=kebab(type(value).__name__), fields=tuple(found), slot=slot, children=tuple(children))


def _bare(kit: Any) -> Any:
    """Kit without the names that come from the labels of parts, which are compared where they are written."""
    return tuple(replace(item, name="") if item.part is not None else item for item in kit)


def _are_pairs(value: Any) -> bool:
    pairs = isinstance(value, tuple) and all(isinstance(one, tuple) and len(one) == 2 for one in value)
    return pairs and len({one[0] for one in value}) == len(value)


def _words_by_part(settings: Any) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for setting in settings:
        found[setting.part] = (*found.get(setting.part, ()), setting.word)
    return found


def content(value: Any) -> Any:
    """A value without the places in files, as nested tuples: equal where the content is equal, on every computer."""
    if is_dataclass(value) and not isinstance(value, type):
        return (kebab(type(value).__name__), *(content(getattr(value, name)) for name in content_fields(type(value))))
    if isinstance(value, tuple):
        return tuple(content(one) for one in value)
    return str(value)


def flatten(root: Node) -> Flat:
    """The tree as lists."""
    nodes: list[Node] = []
    parents: list[int] = []
    children: list[tuple[int, ...]] = []

    def visit(node: Node, parent: int) -> int:
        here = len(nodes)
        nodes.append(node)
        parents.append(parent)
        children.append(())
        children[here] = tuple(visit(child, here) for child in node.children)
        return here

    visit(root, -1)
    return Flat(nodes=tuple(nodes), parents=tuple(parents), children=tuple(children))
