"""All edits between two versions of a unit, and the proof that they leave nothing out."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass

from stepwell.compare.assign import assign
from stepwell.compare.documents import documents
from stepwell.compare.edits import Edit, Sort
from stepwell.compare.names import speaker
from stepwell.compare.numbers import absorb
from stepwell.compare.ops import Op, replay, same
from stepwell.compare.safeguards import WHEN_ADDED, weaker_without
from stepwell.compare.script import Compared, compare_documents
from stepwell.compare.similar import features
from stepwell.compare.speak import Speaker
from stepwell.compare.tokens import dice
from stepwell.compare.tool import Tool, tool_document
from stepwell.compare.tree import Document, Node, flatten
from stepwell.model.workspace import Workspace

Files = tuple[tuple[str, str], ...]
_RENAMED = 0.6
"""Least likeness of a document under another id."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """``edits`` in the order of the documents; ``undisclosed`` names the documents whose change they do not explain.

    ``steps`` says per procedure (its new id) which old step is which new one, as pairs of ids.
    """

    edits: tuple[Edit, ...]
    undisclosed: tuple[str, ...]
    procedures: tuple[tuple[str, str], ...]
    """Pairs of old and new id of the procedures on both sides."""
    steps: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


def edits_between(
    old: Workspace,
    new: Workspace,
    files: tuple[Files, Files] = ((), ()),
    tools: tuple[Tool | None, Tool | None] = (None, None),
) -> Between:
    """Compare two versions of a unit. ``files`` are what else lies in either folder, as (name, text).

    ``tools`` are what the cards of either side are made with; they are compared where both are known.
    """
    before, after = documents(old, files[0]), documents(new, files[1])
    if tools[0] is not None and tools[1] is not None:
        before, after = (*before, tool_document(tools[0])), (*after, tool_document(tools[1]))
    pairs = _pairs(before, after)
    found: list[Edit] = []
    results: list[tuple[Document, Document, Compared]] = []
    speak_old, speak_new = {}, {}
    for one in before:
        speak_old[one.kind, one.id] = speaker(old, str(one.root.get("rig") or (one.id if one.kind == "rig" else "")))
    for one in after:
        speak_new[one.kind, one.id] = speaker(new, str(one.root.get("rig") or (one.id if one.kind == "rig" else "")))
    matched = {(two.kind, two.id) for two in pairs.values()}
    for one in before:
        two = pairs.get((one.kind, one.id))
        if two is None:
            found.append(_whole(one, Sort.REMOVED, speak_old[one.kind, one.id]))
        elif one.root != two.root:
            compared = compare_documents(one, two, (speak_old[one.kind, one.id], speak_new[two.kind, two.id]))
            results.append((one, two, compared))
            found.extend(compared.edits)
    found += [_whole(two, Sort.ADDED, speak_new[two.kind, two.id]) for two in after if (two.kind, two.id) not in matched]
    edits = absorb(tuple(found))
    return Between(
        edits=edits,
        undisclosed=undisclosed(before, after, pairs, edits),
        procedures=tuple((id_, two.id) for (kind, id_), two in pairs.items() if kind == "procedure"),
        steps=tuple((two.id, _step_ids(compared)) for one, two, compared in results if one.kind == "procedure"),
    )


def _step_ids(compared: Compared) -> tuple[tuple[str, str], ...]:
    found = []
    for here, there in compared.pairs.items():
        if compared.old.nodes[here].get("id") and compared.new.nodes[there].get("id") and here:
            found.append((str(compared.old.nodes[here].get("id")), str(compared.new.nodes[there].get("id"))))
    return tuple(found)


def _pairs(before: tuple[Document, ...], after: tuple[Document, ...]) -> dict[tuple[str, str], Document]:
    """Documents of the same kind and id; what is left by likeness."""
    named = {(two.kind, two.id): two for two in after}
    pairs = {(one.kind, one.id): named[one.kind, one.id] for one in before if (one.kind, one.id) in named}
    lonely = [one for one in before if (one.kind, one.id) not in pairs]
    taken = {(two.kind, two.id) for two in pairs.values()}
    fresh = [two for two in after if (two.kind, two.id) not in taken]
    scores = {
        (here, there): alike
        for here, one in enumerate(lonely)
        for there, two in enumerate(fresh)
        if one.kind == two.kind and (alike := _alike(one, two)) >= _RENAMED
    }
    for here, there in assign(scores).items():
        pairs[lonely[here].kind, lonely[here].id] = fresh[there]
    return pairs


def _alike(one: Document, two: Document) -> float:
    return dice(_bag(one.root), _bag(two.root))


def _bag(root: Node) -> Counter[object]:
    found: Counter[object] = Counter()
    for node in flatten(root).nodes:
        if node.sort in ("step", "hold"):
            found[features(node).exact] += 1
        else:
            found.update(
                (node.sort, name, repr(value)) for name, value in node.fields if name not in ("id", "name") and value
            )
    return found


def _whole(document: Document, sort: Sort, speak: Speaker) -> Edit:
    """A document that came or went, with all that it says."""
    title = str(document.root.get("title") or document.root.get("label") or "")
    lines = tuple(_lines(document.root, speak, 0))
    steps = tuple(str(node.get("id")) for node in flatten(document.root).nodes if node.sort in ("step", "hold"))
    said = f"{title or document.id}" + (f" ({len(steps)} steps and holds)" if steps else "")
    weaker = weaker_without(document.root, speak) if sort is Sort.REMOVED else ()
    if sort is Sort.ADDED and document.kind in WHEN_ADDED:
        weaker = (WHEN_ADDED[document.kind],)
    return Edit(
        sort=sort,
        document=f"{document.kind} {document.id}",
        subject=f"the whole {document.kind}",
        old=said if sort is Sort.REMOVED else "",
        new=said if sort is Sort.ADDED else "",
        weaker=weaker,
        lines=lines,
        steps=steps,
    )


def _lines(node: Node, speak: Speaker, depth: int) -> list[str]:
    if node.sort == "file":
        return ["file:", *str(node.get("text")).splitlines()]
    told = "; ".join(f"{name}: {speak.value(value)}" for name, value in node.fields if value not in ("", (), None, False))
    out = [f"{'  ' * depth}{node.sort}: {told}"]
    for child in node.children:
        out += _lines(child, speak, depth + 1)
    return out


def undisclosed(
    before: tuple[Document, ...],
    after: tuple[Document, ...],
    pairs: dict[tuple[str, str], Document],
    edits: tuple[Edit, ...],
) -> tuple[str, ...]:
    """Documents that the edits, carried out on the old side, do not turn into the new one. Should always be none."""
    ops: dict[str, list[Op]] = defaultdict(list)
    whole = {(edit.document, edit.sort) for edit in edits if not edit.item and edit.lines}
    for edit in edits:
        for document, op in edit.ops:
            ops[document].append(op)
    found: list[str] = []
    kept = {(two.kind, two.id) for two in pairs.values()}
    for one in before:
        name = f"{one.kind} {one.id}"
        two = pairs.get((one.kind, one.id))
        if two is None:
            found += [name] * ((name, Sort.REMOVED) not in whole)
            continue
        try:
            fine = same(replay(one.root, ops[name]), two.root)
        except (ValueError, KeyError):
            fine = False
        found += [name] * (not fine)
    found += [
        f"{two.kind} {two.id}"
        for two in after
        if (two.kind, two.id) not in kept and (f"{two.kind} {two.id}", Sort.ADDED) not in whole
    ]
    return tuple(found)
