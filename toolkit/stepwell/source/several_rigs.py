"""A procedure for several rigs: it is read once for each, and each reading is a procedure of its own.

So every rig has its own verdicts and its own card, on which stand just the steps that are done with it. The id of such a
procedure ends with its rig (``prime-adult-on-adult-va``), and a card that leads to ``prime-adult`` leads to the one for
its own rig.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from stepwell.diagnostics.finding import Finding
from stepwell.model.procedure import Procedure
from stepwell.source import faults
from stepwell.source.fields import described
from stepwell.source.near import quote
from stepwell.source.nodes import Listing, Mapping, Node, Scalar
from stepwell.source.notes import MOST, Notes

MOST_RIGS = 10


def rigs_named(root: Node | None) -> tuple[str, ...]:
    """The ids of the rigs if there are several, else none; says nothing."""
    names = tuple(dict.fromkeys(node.text for node in _nodes(root) if isinstance(node, Scalar) and node.text))
    return names[:MOST_RIGS] if len(names) > 1 else ()


def variant(procedure: str, rig: str) -> str:
    """The id of a procedure for one of its rigs."""
    return f"{procedure}-on-{rig}"


def readings(root: Node, notes: Notes) -> tuple[Node, ...]:
    """The file once for each rig, with that rig alone in the place of the list; the file as it is where there is no list.

    What is wrong with the list itself is noted.
    """
    nodes = _nodes(root)
    if not isinstance(root, Mapping) or not isinstance(getattr(root.get("rig"), "value", None), Listing):
        return (root,)
    if not nodes:
        span = root.entries["rig"].value.span
        notes.add(faults.EMPTY_VALUE, span, "`rig` has nothing in it.", "Name the rig that this procedure is for.")
    found: dict[str, Scalar] = {}
    for node in nodes:
        if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
            notes.add(
                faults.WRONG_TYPE,
                node.span,
                f"`rig` takes ids of rigs, but here is {described(node)}.",
                "Write for example `rig: [adult-bedside, adult-va]`.",
            )
        elif node.text in found:
            notes.add(faults.DUPLICATE_NAME, node.span, f"{quote(node.text)} is listed twice.", "Delete one.")
        else:
            found[node.text] = node
    if len(found) > MOST_RIGS:
        notes.add(
            faults.OUT_OF_RANGE,
            root.entries["rig"].value.span,
            f"Here are {len(found)} rigs; one procedure can be for {MOST_RIGS} at most.",
            "Make it two procedures.",
        )
    return tuple(
        replace(root, entries={**root.entries, "rig": replace(root.entries["rig"], value=node)})
        for node in list(found.values())[:MOST_RIGS]
    )


def merge(notes: Notes, read: list[tuple[str, Notes]]) -> None:
    """Put the findings of every reading into ``notes``: what is wrong with every rig once, the rest with its rig."""
    count = Counter(key for _, each in read for key in {_key(finding) for finding in each.findings})
    for number, (rig, each) in enumerate(read):
        for finding in each.findings:
            everywhere = count[_key(finding)] == len(read)
            if len(notes.findings) >= MOST or (everywhere and number):
                continue
            message = finding.message if everywhere else f"With the rig {quote(rig)}: {finding.message}"
            notes.findings.append(replace(finding, message=message))


def for_rig(procedure: Procedure, rig_title: str) -> Procedure:
    """The procedure under the id and title that tell it from the same for other rigs."""
    return replace(procedure, id=variant(procedure.id, procedure.rig), title=f"{procedure.title} ({rig_title})")


def _key(finding: Finding) -> tuple[object, ...]:
    return (finding.rule, finding.span)


def _nodes(root: Node | None) -> list[Node]:
    entry = root.get("rig") if isinstance(root, Mapping) else None
    return entry.value.items if entry is not None and isinstance(entry.value, Listing) else []
