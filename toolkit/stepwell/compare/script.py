"""The edits between two versions of one document. Everything that differs is in exactly one of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import unified_diff
from typing import Any

from stepwell.compare.edits import Edit, Sort
from stepwell.compare.match import match
from stepwell.compare.match_parts import match_named
from stepwell.compare.names import item_of, short, subject, title_of, where, with_ids
from stepwell.compare.ops import Become, Delete, Insert, Op, Place, SetField
from stepwell.compare.regroup import Regroup, keeps, merges, splits, with_own_ids
from stepwell.compare.safeguards import WHEN_ADDED, weaker_field, weaker_form, weaker_without
from stepwell.compare.similar import SPOKEN
from stepwell.compare.speak import Speaker
from stepwell.compare.structure import Structure, blocks, structure
from stepwell.compare.tree import Document, Flat, Node, flatten
from stepwell.model.procedure import Figure, PartName, Text

WORDING = frozenset(
    (
        "say", "why", "if-not", "missed", "abort", "question", "title", "label", "place", "note", "use-when",
        "do-not-use-when", "done-call", "message", "mend", "harm", "control", "not-checked", "name", "notice",
    )
)  # fmt: skip
"""Fields of words: a change of them from words to words is a rewording."""
FORM = "form"


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The edits of one document, and which node is which."""

    edits: tuple[Edit, ...]
    old: Flat
    new: Flat
    pairs: dict[int, int]


def compare_documents(old: Document, new: Document, speak: tuple[Speaker, Speaker]) -> Compared:
    """The edits from ``old`` to ``new``; ``speak`` says values of either side."""
    one, other = flatten(old.root), flatten(new.root)
    pairs = with_own_ids(one, other, match(one, other)) if old.kind == "procedure" else match_named(one, other)
    script = _Script(f"{old.kind} {old.id}", one, other, pairs, speak)
    return Compared(edits=script.edits(), old=one, new=other, pairs=pairs)


class _Script:
    def __init__(self, document: str, old: Flat, new: Flat, pairs: dict[int, int], speak: tuple[Speaker, Speaker]) -> None:
        self.document, self.old, self.new, self.pairs, self.speak = document, old, new, pairs, speak
        self.back = {there: here for here, there in pairs.items()}
        self.ids = {
            str(old.nodes[here].get("id")): str(new.nodes[there].get("id"))
            for here, there in pairs.items()
            if old.nodes[here].get("id") and old.nodes[here].get("id") != new.nodes[there].get("id")
        }
        self.found: list[Edit] = []
        self.renamed: list[Op] = []
        self.silent: set[tuple[int, str]] = set()
        """(old handle, field) whose change is told by another edit."""

    def edits(self) -> tuple[Edit, ...]:
        shape = structure(self.old, self.new, self.pairs)
        self.regroup(shape)
        for here, there in self.pairs.items():
            self.fields(here, there)
        self.shape(shape)
        if self.renamed:
            self.reidentified()
        return tuple(self.found)

    def add(self, sort: Sort, at: int, *, new_side: bool = False, ops: Iterable[Op] = (), **more: Any) -> None:
        """An edit about one node, which is called by its old name where it has one."""
        flat, speak = (self.new, self.speak[1]) if new_side else (self.old, self.speak[0])
        steps = (item_of(flat.nodes[at]),) if flat.nodes[at].sort in SPOKEN else ()
        more.setdefault("steps", steps)
        edit = Edit(
            sort=sort,
            document=self.document,
            item=item_of(flat.nodes[at]),
            subject=subject(flat, at, speak),
            ops=tuple((self.document, op) for op in ops),
            **more,
        )
        self.found.append(edit)

    def fields(self, here: int, there: int) -> None:
        """Every field of a kept node that differs."""
        one, other = self.old.nodes[here], self.new.nodes[there]
        if one.sort != other.sort:
            names = {"stage": "in this order", "any-order": "in any order"}
            self.add(
                Sort.CHANGED,
                here,
                field=FORM,
                old=names.get(one.sort, one.sort),
                new=names.get(other.sort, other.sort),
                weaker=weaker_form(one.sort, other.sort),
                ops=(Become(node=here, old=one.sort, new=other.sort),),
            )
        if one.fields == other.fields:
            return
        before, after = dict(one.fields), dict(other.fields)
        for name in (*before, *(name for name in after if name not in before)):
            old, new = before.get(name), after.get(name)
            if old == new:
                continue
            op = SetField(node=here, field=name, old=old, new=new)
            if name == "id" or with_ids(old, self.ids) == new:
                self.renamed.append(op)
            elif (here, name) not in self.silent:
                self.field(here, op)

    def field(self, here: int, op: SetField) -> None:
        node = self.old.nodes[here]
        if node.sort == "file":
            self.text(here, op)
            return
        words = _only_words(op.old, op.new, op.field)
        self.add(
            Sort.REWORDED if words else Sort.CHANGED,
            here,
            field=op.field.rpartition(".")[2] if "." in op.field else op.field,
            old=self.speak[0].field(op.field, op.old),
            new=self.speak[1].field(op.field, op.new),
            weaker=weaker_field(node.sort, op.field, op.old, op.new, self.speak[0]),
            mark="wording" if words else "",
            ops=(op,),
        )

    def text(self, here: int, op: SetField) -> None:
        """A file that is not in the model: which lines differ."""
        old, new = str(op.old or "").splitlines(), str(op.new or "").splitlines()
        lines = list(unified_diff(old, new, "was", "now", lineterm="", n=1))[2:]
        gone, come = (sum(line[:1] == sign for line in lines) for sign in "-+")
        said = f"{len(old)} lines", f"{len(new)} lines: {gone} gone, {come} new"
        self.add(Sort.CHANGED, here, field="text", old=said[0], new=said[1], lines=tuple(lines), ops=(op,))

    def handle(self, there: int) -> int:
        """How ops call a node of the new tree."""
        return self.back.get(there, len(self.old.nodes) + there)

    def spot(self, there: int) -> tuple[int, int | None, int]:
        """(parent, sibling before, rank) of a node of the new tree."""
        parent = self.new.parents[there]
        siblings = self.new.children[parent]
        place = siblings.index(there)
        return self.handle(parent), self.handle(siblings[place - 1]) if place else None, there

    def insert(self, there: int) -> Insert:
        parent, after, rank = self.spot(there)
        content = replace(self.new.nodes[there], children=())
        return Insert(node=self.handle(there), content=content, parent=parent, after=after, rank=rank)

    def put(self, there: int) -> Place:
        parent, after, rank = self.spot(there)
        slot = self.new.nodes[there].slot
        return Place(node=self.back[there], parent=parent, after=after, rank=rank, slot=slot)

    def shape(self, shape: Structure) -> None:
        for at in shape.removed:
            node = self.old.nodes[at]
            carried = shape.unwrapped.get(at)
            sort = Sort.REMOVED if carried is None else Sort.UNWRAPPED
            ops: list[Op] = [Delete(node=at), *(self.put(child) for child in carried or ())]
            why = weaker_without(node, self.speak[0]) if carried is None else ()
            old = f"{self.content(self.old, at, self.speak[0], head=True)} — {where(self.old, at, self.speak[0])}"
            self.add(sort, at, ops=ops, weaker=why, old=old, new="" if carried is None else self.kept(carried))
        for at in shape.added:
            carried = shape.wrapped.get(at)
            sort = Sort.ADDED if carried is None else Sort.WRAPPED
            ops = [self.insert(at), *(self.put(child) for child in carried or ())]
            said = self.content(self.new, at, self.speak[1], head=True) if carried is None else self.kept(carried)
            new = f"{said} — {where(self.new, at, self.speak[1])}"
            why = (WHEN_ADDED[self.new.nodes[at].sort],) if self.new.nodes[at].sort in WHEN_ADDED else ()
            self.add(sort, at, new_side=True, ops=ops, new=new, weaker=why)
        for block in blocks(shape, self.old, self.new, self.pairs):
            self.moved(block)

    def moved(self, block: list[int]) -> None:
        here = [self.back[at] for at in block]
        others = tuple(item_of(self.old.nodes[at]) for at in here[1:])
        names = [item_of(self.old.nodes[at]) for at in here if self.old.nodes[at].sort in SPOKEN]
        self.add(
            Sort.MOVED,
            here[0],
            others=others,
            steps=tuple(names),
            old=where(self.old, here[0], self.speak[0]),
            new=where(self.new, block[0], self.speak[1]),
            ops=[self.put(at) for at in block],
        )

    def kept(self, carried: list[int]) -> str:
        return "holds, unchanged in place: " + ", ".join(short(self.new, at, self.speak[1]) for at in carried)

    def content(self, flat: Flat, at: int, speak: Speaker, *, head: bool = False) -> str:
        """Everything that a node says, for what comes or goes; ``head``: but for what its subject says already."""
        node = flat.nodes[at]
        said = SPOKEN.get(node.sort, "title") if head else ""
        told = [
            f"{name.rpartition('.')[2]}: {speak.field(name, value)}"
            for name, value in node.fields
            if value not in ("", (), None, False) and name not in ("id", said)
        ]
        return "; ".join(told) or title_of(node) or node.sort

    def reidentified(self) -> None:
        pairs = tuple(f"{old} > {new}" for old, new in self.ids.items())
        number = sum(isinstance(op, SetField) and op.field == "id" for op in self.renamed)
        self.found.append(
            Edit(
                sort=Sort.REIDENTIFIED,
                document=self.document,
                subject="1 id" if number == 1 else f"{number} ids",
                others=pairs,
                old=", ".join(self.ids),
                new=", ".join(self.ids.values()),
                ops=tuple((self.document, op) for op in self.renamed),
            )
        )

    def regroup(self, shape: Structure) -> None:
        for one in splits(self.old, self.new, self.pairs, shape.added):
            shape.added.remove(one.other)
            ops, _ = self.told(one.one, one.kept, [self.new.nodes[one.other]])
            self.add(
                Sort.SPLIT,
                one.one,
                others=(item_of(self.new.nodes[one.other]),),
                old=self.content(self.old, one.one, self.speak[0]),
                new=" | ".join(self.content(self.new, at, self.speak[1]) for at in sorted((one.kept, one.other))),
                ops=(self.insert(one.other), *ops),
            )
        for one in merges(self.old, self.new, self.pairs, shape.removed):
            shape.removed.remove(one.other)
            ops, _ = self.told(one.kept, one.one, [self.old.nodes[one.other]])
            self.add(
                Sort.MERGED,
                one.kept,
                others=(item_of(self.old.nodes[one.other]),),
                old=" | ".join(self.content(self.old, at, self.speak[0]) for at in sorted((one.kept, one.other))),
                new=self.content(self.new, one.one, self.speak[1]),
                ops=(Delete(node=one.other), *ops),
            )
            self.lost(one)

    def told(self, here: int, there: int, others: list[Node]) -> tuple[list[Op], list[str]]:
        """Changes of the kept half that a split or a merge explains: words, actions, and what the other half has."""
        one, other = self.old.nodes[here], self.new.nodes[there]
        ops: list[Op] = []
        names: list[str] = []
        for name, old in one.fields:
            new = other.get(name)
            if old == new or name == "id":
                continue
            beside = [node.get(name) for node in others]
            if name in ("say", "do", "at-once") or (keeps(old, [new, *beside]) and keeps(new, [old, *beside])):
                ops.append(SetField(node=here, field=name, old=old, new=new))
                names.append(name)
                self.silent.add((here, name))
        return ops, names

    def lost(self, one: Regroup) -> None:
        """What the step that was put into another said besides, and the whole does not say."""
        gone, whole, kept = self.old.nodes[one.other], self.new.nodes[one.one], self.old.nodes[one.kept]
        for name, value in gone.fields:
            new = whole.get(name)
            if name in ("id", "say", "do", "at-once", "who") or not value or keeps(value, [new]) or value == kept.get(name):
                continue
            self.add(
                Sort.CHANGED,
                one.other,
                field=name,
                old=self.speak[0].value(value),
                new=self.speak[1].value(new),
                weaker=weaker_field("step", name, value, new, self.speak[0]),
            )


def _are_words(value: Any) -> bool:
    return isinstance(value, str) or (isinstance(value, tuple) and isinstance(value[0], Text | PartName | Figure))


def _only_words(old: Any, new: Any, field: str) -> bool:
    """Whether words were put in the place of words, and nothing else can differ."""
    if not old or not new:
        return False
    if field == "if-not":
        return bool(old.words) and bool(new.words)
    if field == "warn":
        return len(old) == len(new) and all(one.severity == two.severity for one, two in zip(old, new, strict=True))
    return field in WORDING and _are_words(old) and _are_words(new)
