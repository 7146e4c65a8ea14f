"""What nodes are called: by people, and in the data of an edit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from stepwell.compare.similar import SPOKEN
from stepwell.compare.speak import Speaker
from stepwell.compare.tree import Flat, Node
from stepwell.model.workspace import Workspace

_KIND_WORDS = {"any-order": "free order", "outcome": "answer", "lane": "lane of", "chain": "chain", "repeat": "repeat"}


def item_of(node: Node) -> str:
    """An id, or the sort with the title or name; empty for the root of a document."""
    if node.sort in SPOKEN and node.get("id"):
        return str(node.get("id"))
    if not node.slot:
        return ""
    if node.sort == "chain":
        parts = node.get("parts")
        return f"chain:{parts[0]}..{parts[-1]}" if parts else "chain:"
    return f"{node.sort}:{title_of(node)}"


def title_of(node: Node) -> str:
    """The title, label, role, id or name of a node."""
    for name in (
        ("title", "label", "who", "id", "name") if node.slot in ("body", "lanes", "outcomes") else ("id", "name", "sort")
    ):
        value = node.get(name)
        if isinstance(value, str) and value:
            return value
    return ""


def subject(flat: Flat, at: int, speak: Speaker) -> str:
    """``step 7 (d9fw) “Count the cable ties ...”``."""
    node = flat.nodes[at]
    match node.sort:
        case "step":
            return f"step {number(flat, at)} ({node.get('id') or 'no id'}) “{speak.value(node.get('say'))}”"
        case "hold" | "choose" | "repeat":
            word = "question" if node.sort == "choose" else node.sort
            return f"{word} “{speak.value(node.get(SPOKEN[node.sort]))}”"
        case "lane":
            who = str(node.get("who"))
            return f"lane of {speak.roles.get(who, who)}"
        case "part":
            return f"part “{node.get('label') or node.get('id')}”"
        case "chain":
            return f"chain from {speak.label(node.get('parts')[0])} to {speak.label(node.get('parts')[-1])}"
    if not node.slot:
        return ""
    return f"{_KIND_WORDS.get(node.sort, node.sort)} “{title_of(node)}”"


def number(flat: Flat, at: int) -> int:
    """The number of a step on the page."""
    return sum(flat.nodes[other].sort == "step" for other in range(at + 1))


def where(flat: Flat, at: int, speak: Speaker) -> str:
    """``in “Patient end”, after step 3 (c2xp)``."""
    parent = flat.parents[at]
    siblings = flat.children[parent]
    place = siblings.index(at)
    node = flat.nodes[parent]
    inside = f"in {short(flat, parent, speak)}, " if node.slot else ""
    if place == 0:
        return f"{inside}first"
    return f"{inside}after {short(flat, siblings[place - 1], speak)}"


def short(flat: Flat, at: int, speak: Speaker) -> str:
    """The subject without what is said: ``step 7 (d9fw)``."""
    node = flat.nodes[at]
    if node.sort == "step":
        return f"step {number(flat, at)} ({node.get('id') or 'no id'})"
    return subject(flat, at, speak)


def speaker(workspace: Workspace, rig: str = "") -> Speaker:
    """How one side names things; ``rig`` is that of the procedure."""
    found = next((one for one in workspace.rigs if one.id == rig), None)
    return Speaker(
        labels={part.id: part.label or part.id for part in found.parts} if found else {},
        figures={number.name: str(number.value) for number in workspace.unit.numbers},
        titles={one.id: one.title for one in workspace.procedures},
        roles={role.id: role.label for role in workspace.unit.roles},
    )


def with_ids(value: Any, ids: Mapping[str, str]) -> Any:
    """A value in which ids of steps are put through ``ids``."""
    from dataclasses import replace

    from stepwell.model.procedure import Otherwise

    if isinstance(value, Otherwise) and value.step is not None:
        return replace(value, step=ids.get(value.step, value.step))
    if isinstance(value, tuple) and value and all(isinstance(one, str) for one in value):
        return tuple(ids.get(one, one) for one in value)
    return value
