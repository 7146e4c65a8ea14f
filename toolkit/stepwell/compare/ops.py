"""The smallest changes to a tree, and carrying them out: applied to the old side they give the new side, or a fault shows.

Nodes of the old tree are called by their handles; an added node has the handle *number of old nodes + its own handle in
the new tree*. ``rank`` is the place of a node in the order of the new page.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from stepwell.compare.tree import Flat, Node, flatten


@dataclass(frozen=True, slots=True, kw_only=True)
class SetField:
    """A field of a kept node gets another value; None where the field is not there."""

    node: int
    field: str
    old: Any
    new: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Become:
    """A kept node becomes one of another sort: a sequence a free order."""

    node: int
    old: str
    new: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Delete:
    """A node of the old tree goes."""

    node: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Insert:
    """A node without children comes, as a child of ``parent`` behind its sibling ``after`` (None: first)."""

    node: int
    content: Node
    parent: int
    after: int | None
    rank: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A kept node is put under ``parent`` behind ``after``, in the field ``slot`` of it."""

    node: int
    parent: int
    after: int | None
    rank: int
    slot: str


Op = SetField | Become | Delete | Insert | Place


def replay(old: Node, ops: Iterable[Op]) -> Node:
    """The old tree after all the changes. Raises ValueError where they do not fit each other."""
    return _Replay(flatten(old), tuple(ops)).tree()


class _Replay:
    def __init__(self, flat: Flat, ops: tuple[Op, ...]) -> None:
        self.nodes = dict(enumerate(flat.nodes))
        self.children = {at: list(inner) for at, inner in enumerate(flat.children)}
        self.parents = dict(enumerate(flat.parents))
        for op in ops:
            match op:
                case SetField():
                    self.assign(op)
                case Become(node=at, old=old, new=new):
                    if self.nodes[at].sort != old:
                        raise ValueError(f"node {at} is no {old}")
                    self.nodes[at] = replace(self.nodes[at], sort=new)
                case _:
                    pass
        gone = {op.node for op in ops if isinstance(op, Delete)}
        placed = sorted((op for op in ops if isinstance(op, Insert | Place)), key=lambda op: op.rank)
        self.loosen(gone | {op.node for op in placed if isinstance(op, Place)})
        for op in placed:
            if isinstance(op, Insert):
                self.nodes[op.node] = op.content
                self.children[op.node] = []
            else:
                self.nodes[op.node] = replace(self.nodes[op.node], slot=op.slot)
            self.put(op)
        if any(self.children[at] for at in gone):
            raise ValueError("what goes still holds something")

    def assign(self, op: SetField) -> None:
        node = self.nodes[op.node]
        if node.get(op.field) != op.old:
            raise ValueError(f"{op.field} of node {op.node} was not so")
        rest = [(name, value) for name, value in node.fields if name != op.field]
        names = [name for name, _ in node.fields]
        if op.new is None and "." in op.field:
            changed = rest
        elif op.field in names:
            at = names.index(op.field)
            changed = [*rest[:at], (op.field, op.new), *rest[at:]]
        else:
            changed = [*rest, (op.field, op.new)]
        self.nodes[op.node] = replace(node, fields=tuple(changed))

    def loosen(self, handles: set[int]) -> None:
        for at in handles:
            inner = self.children[self.parents[at]]
            inner.remove(at)

    def put(self, op: Insert | Place) -> None:
        inner = self.children[op.parent]
        inner.insert(0 if op.after is None else inner.index(op.after) + 1, op.node)

    def tree(self, at: int = 0) -> Node:
        node = self.nodes[at]
        return replace(node, children=tuple(self.tree(child) for child in self.children[at]))


def same(one: Node, other: Node) -> bool:
    """Whether two trees say the same; the order of fields means nothing."""
    if one.sort != other.sort or one.slot != other.slot or len(one.children) != len(other.children):
        return False
    if one.fields != other.fields and dict(one.fields) != dict(other.fields):
        return False
    return all(same(here, there) for here, there in zip(one.children, other.children, strict=True))
