"""Which gas source each gas supply is on: ``connected: [[gas, wall]]`` in a baseline or in ``starts``."""

from __future__ import annotations

from stepwell.model.rig import Setting
from stepwell.source import faults
from stepwell.source.fields import described
from stepwell.source.near import listed, quote
from stepwell.source.nodes import Entry, Listing, Node, Scalar
from stepwell.source.scope import PartInfo, Scope

SUPPLY = "gas-supply"
SOURCE = "gas-source"


def connected(entry: Entry, scope: Scope, settings: list[Setting], taken: dict[str, str]) -> None:
    """Add a setting for each pair. ``taken`` collects what each supply is on, to find one that is on two sources."""
    nodes = entry.value.items if isinstance(entry.value, Listing) else [entry.value]
    for node in nodes:
        names = node.items if isinstance(node, Listing) else []
        first, second = names if len(names) == 2 else (None, None)
        if not (_is_name(first) and _is_name(second)):
            scope.notes.add(
                faults.WRONG_TYPE,
                node.span,
                f"`connected` takes a list of pairs, but here is {described(node)}.",
                "Write a gas supply and its gas source, for example `connected: [[gas, wall]]`.",
            )
            return
        assert isinstance(first, Scalar)
        assert isinstance(second, Scalar)
        _pair(first, second, node, scope, settings, taken)


def _is_name(node: Node | None) -> bool:
    return isinstance(node, Scalar) and isinstance(node.value, str) and bool(node.value)


def _pair(first: Scalar, second: Scalar, node: Node, scope: Scope, settings: list[Setting], taken: dict[str, str]) -> None:
    supply, source = scope.known_part(first), scope.known_part(second)
    if _kind(supply) == SOURCE and _kind(source) == SUPPLY:
        scope.notes.add(
            faults.WRONG_KIND,
            node.span,
            "The gas source stands before the gas supply.",
            f"Turn them round: `[{second.text}, {first.text}]`.",
        )
        return
    for name, info, kind in ((first, supply, SUPPLY), (second, source, SOURCE)):
        if _kind(info) not in ("", kind):
            fitting = [part for part, other in (scope.parts or {}).items() if _kind(other) == kind]
            scope.notes.add(
                faults.WRONG_KIND,
                name.span,
                f"A {kind} is needed here, but {quote(name.text)} is of the kind {quote(_kind(info))}.",
                f"Parts that fit: {listed(fitting, most=8)}."
                if fitting
                else f"This rig has no {kind}; add one to its `parts`.",
            )
            return
    if first.text in taken:
        scope.notes.add(
            faults.STATES_AT_ODDS,
            node.span,
            f"{quote(first.text)} is connected to {quote(taken[first.text])} already.",
            "A gas supply is on one gas source at a time; keep one pair.",
        )
    taken[first.text] = second.text
    settings.append(Setting(part=first.text, word=f"connected:{second.text}", span=node.span))


def _kind(info: PartInfo | None) -> str:
    return "" if info is None or info.kind is None else info.kind.name
