"""Chains of a rig: parts in the order in which fluid could meet them."""

from __future__ import annotations

from stepwell.circuit.entry import Family
from stepwell.diagnostics.span import Span
from stepwell.model.rig import ATMOSPHERE, Chain
from stepwell.source import faults
from stepwell.source.as_written import as_written
from stepwell.source.fields import Fields, described
from stepwell.source.near import quote
from stepwell.source.nodes import Listing, Mapping, Node, Scalar
from stepwell.source.scope import PartInfo, Scope

HEADSPACE = "headspace"


def read_chains(fields: Fields, scope: Scope, parts: Mapping | None) -> tuple[Chain, ...]:
    """Every chain, with notes on what can't be a chain and on parts that no chain names."""
    used: dict[str, Span] = {}
    through: set[str] = set()
    found: list[Chain] = []
    before = len(scope.notes.findings)
    for node in fields.listing("chains", empty=False):
        chain = _chain(node, scope, used, through)
        if chain is not None:
            found.append(chain)
    # A chain that can't be read leaves parts over, which is no fault of theirs.
    broken = len(scope.notes.findings) > before
    if parts is not None and fields.has("chains") and not broken:
        for entry in parts.entries.values():
            _note_unused(entry.key, entry.key_span, scope, used, through)
    return tuple(found)


def _note_unused(name: str, span: Span, scope: Scope, used: dict[str, Span], through: set[str]) -> None:
    info = (scope.parts or {}).get(name)
    if info is None or info.kind is None or info.kind.family is Family.EQUIPMENT:
        return
    if name not in used:
        scope.notes.add(
            faults.PART_IN_NO_CHAIN,
            span,
            f"No chain names {quote(name)}, so nothing is joined to it.",
            f"Put {quote(name)} into a chain between its neighbours, or delete it.",
        )
    elif info.kind.name == "pump-head" and name not in through:
        scope.notes.add(
            faults.PUMP_NOT_THROUGH,
            span,
            f"The pump head {quote(name)} needs a part before it (its inlet) and one after it (its outlet) in one chain.",
            f"Write for example `[inlet-line, {name}, outlet-line]`.",
        )


def _chain(node: Node, scope: Scope, used: dict[str, Span], through: set[str]) -> Chain | None:
    if not isinstance(node, Listing):
        names_said = isinstance(node, Scalar) and "," in node.text
        example = as_written(node) if names_said else "prime-bag, prime-clamp, prime-line"
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"A chain is a list of parts, but here is {described(node)}.",
            f"Put it in brackets: `- [{example}]`.",
        )
        return None
    names: list[Scalar] = []
    for item in node.items:
        if isinstance(item, Scalar) and isinstance(item.value, str) and item.value:
            names.append(item)
        else:
            scope.notes.add(
                faults.WRONG_TYPE,
                item.span,
                f"A chain takes names of parts, but here is {described(item)}.",
                "Write for example `prime-line`.",
            )
            return None
    infos = [_look_up(item, scope) for item in names]
    families = [_family(item, info) for item, info in zip(names, infos, strict=True)]
    _note_uses(names, infos, families, scope, used)
    _note_neighbours(names, families, node, scope)
    through.update(item.text for item in names[1:-1])
    return Chain(parts=tuple(item.text for item in names), span=node.span)


def _look_up(node: Scalar, scope: Scope) -> PartInfo | None:
    if node.text == ATMOSPHERE:
        return None
    name, dot, tail = node.text.partition(".")
    info = (scope.parts or {}).get(name)
    if info is None:
        scope.no_part(name, node.span)
    elif dot and (tail != HEADSPACE or (info.kind is not None and info.kind.name != "bag")):
        scope.notes.add(
            faults.UNKNOWN_PART,
            node.span,
            f"{quote(node.text)}: only a bag has a part of its own in a chain, its `headspace`.",
            f"Write {quote(name)}.",
        )
    return info


def _family(node: Scalar, info: PartInfo | None) -> str:
    """``air``, a family's word, or ``?`` where it is not known."""
    if node.text == ATMOSPHERE:
        return ATMOSPHERE
    return "?" if info is None or info.kind is None else info.kind.family.value


def _note_uses(
    names: list[Scalar], infos: list[PartInfo | None], families: list[str], scope: Scope, used: dict[str, Span]
) -> None:
    for item, info, family in zip(names, infos, families, strict=True):
        if info is None:
            continue
        first = used.get(info.id)
        if first is not None and family in (Family.GATE, Family.END):
            scope.notes.add(
                faults.PART_TWICE,
                item.span,
                f"{quote(info.id)} stands in a chain already, in line {first.line}; it can be in one place only.",
                "Delete one, or give the second one an id and label of its own.",
            )
        used.setdefault(info.id, item.span)


def _note_neighbours(names: list[Scalar], families: list[str], node: Listing, scope: Scope) -> None:
    if len(names) < 2 or not {Family.SPACE.value, "?"} & set(families):
        scope.notes.add(
            faults.CHAIN_TOO_SHORT,
            node.span,
            "This chain joins nothing: it needs at least two parts, one of them a space such as a line or a bag.",
            "Add the part on the other side; the open air is `air`.",
        )
        return
    last = len(names) - 1
    for place, (item, family) in enumerate(zip(names, families, strict=True)):
        at_end = place in (0, last)
        before = families[place - 1] if place else ""
        if family == Family.EQUIPMENT:
            scope.notes.add(
                faults.NOT_IN_FLUID_PATH,
                item.span,
                f"{quote(item.text)} is equipment and holds no fluid, so it is no part of a chain.",
                "Take it out; where it sits is said by its own `site` or other reference.",
            )
        elif family == Family.GATE and at_end:
            scope.notes.add(
                faults.GATE_AT_CHAIN_END,
                item.span,
                f"The chain ends in {quote(item.text)}, and nothing is on its other side.",
                "Add the part on the other side, or `air` if it opens to the room.",
            )
        elif family == Family.GATE and before == Family.GATE:
            scope.notes.add(
                faults.GATES_SIDE_BY_SIDE,
                item.span,
                f"{quote(names[place - 1].text)} and {quote(item.text)} are two gates with no space between.",
                "Put the piece of line or stub that lies between them there, as a part of its own.",
            )
        elif family in (Family.END, ATMOSPHERE):
            _note_end(names, families, place, scope)


def _note_end(names: list[Scalar], families: list[str], place: int, scope: Scope) -> None:
    item = names[place]
    what = "the open air" if families[place] == ATMOSPHERE else "a connector"
    if place not in (0, len(names) - 1):
        scope.notes.add(
            faults.END_INSIDE_CHAIN,
            item.span,
            f"{quote(item.text)} is {what}, so a chain ends there.",
            f"End the chain at {quote(item.text)}, and begin a new one for what follows.",
        )
        return
    beside = families[1] if place == 0 else families[place - 1]
    if families[place] == Family.END and beside not in (Family.SPACE, "?"):
        scope.notes.add(
            faults.END_INSIDE_CHAIN,
            item.span,
            f"{quote(item.text)} is a connector; a space must be beside it, such as the line that it is on.",
            "Put the piece of line between them there, as a part of its own.",
        )
