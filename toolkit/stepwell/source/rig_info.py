"""What procedures must know of the unit's rigs, and whether one is written for another rig than it says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from stepwell.model.rig import Rig
from stepwell.source import faults
from stepwell.source.fields import Fields
from stepwell.source.near import listed, quote
from stepwell.source.scope import PartInfo, Scope

_FEWEST = 3
"""Names of another rig from which on the rig is taken for the mistake, and not each name."""
_FROM_IT = frozenset({"unknown-part", "unknown-name-in-text", "unknown-baseline", "unknown-state", "wrong-kind"})


@dataclass(frozen=True, slots=True, kw_only=True)
class RigInfo:
    """What a procedure must know of its rig, kept even where the rig's own file has faults."""

    id: str
    parts: dict[str, PartInfo] | None
    labels: dict[str, str]
    baselines: tuple[str, ...] | None
    """None where the rig's file is too broken to tell."""
    whole: Rig | None = None
    """None where the rig's file has a fault."""


def owners(rigs: Mapping[str, RigInfo]) -> dict[str, tuple[str, ...]]:
    """Every part of every rig, with the rigs that have it."""
    found: dict[str, tuple[str, ...]] = {}
    for info in rigs.values():
        for part in info.parts or ():
            found[part] = (*found.get(part, ()), info.id)
    return found


def note_other_rig(fields: Fields, scope: Scope, rigs: Mapping[str, RigInfo]) -> None:
    """Where every strange name is a part of one other rig, say that once instead of each."""
    node, names = fields.entry("rig"), tuple(dict.fromkeys(scope.strangers))
    if node is None or len(names) < _FEWEST:
        return
    fitting = [info.id for info in rigs.values() if info.parts and all(name in info.parts for name in names)]
    if not fitting:
        return
    notes = scope.notes
    notes.findings[:] = [finding for finding in notes.findings if finding.rule not in _FROM_IT]
    notes.add(
        faults.UNKNOWN_PART,
        node.value.span,
        f"{quote(scope.rig)} has no parts {listed(names, most=4)}, which this procedure names.",
        f"All of them are parts of {listed(fitting)}: write `rig: {fitting[0]}`, or name parts of {quote(scope.rig)}.",
    )
