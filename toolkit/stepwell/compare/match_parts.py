"""Matching where everything has a name: parts of a rig, its baselines and chains, roles and numbers."""

from __future__ import annotations

from collections import Counter
from typing import Any

from stepwell.compare.assign import assign
from stepwell.compare.tokens import dice
from stepwell.compare.tree import Flat, Node

_ALIKE = 0.6


def match_named(old: Flat, new: Flat) -> dict[int, int]:
    """Old handle to new handle: by name first, then what is mostly the same under another name."""
    found = {0: 0}
    names = {(node.slot, name_of(node)): at for at, node in enumerate(new.nodes) if at and name_of(node)}
    for at, node in enumerate(old.nodes):
        there = names.get((node.slot, name_of(node))) if at else None
        if there is not None and there not in found.values():
            found[at] = there
    taken = set(found.values())
    scores = {
        (here, there): alike
        for here, node in enumerate(old.nodes)
        for there, other in enumerate(new.nodes)
        if here not in found and there not in taken and node.slot == other.slot and node.sort == other.sort
        if (alike := _alike(node, other)) >= _ALIKE
    }
    return found | assign(scores)


def name_of(node: Node) -> str:
    """The id or name; of a chain its parts, for it has no name."""
    if node.sort == "chain":
        return " ".join(node.get("parts"))
    return str(node.get("id") or node.get("name") or node.get("sort") or ("review" if node.sort == "review-policy" else ""))


def _alike(one: Node, other: Node) -> float:
    if one.sort == "chain":
        return dice(Counter(one.get("parts")), Counter(other.get("parts")))
    return dice(_content(one), _content(other))


def _content(node: Node) -> Counter[Any]:
    return Counter((name, value) for name, value in node.fields if name not in ("id", "name") and value)
