"""What lies where on a rig: neighbours in its chains, the gates before and behind a part, the way out of a side branch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from stepwell.circuit.entry import Family, PartKind
from stepwell.model.rig import ATMOSPHERE, Rig

Kinds = Mapping[str, PartKind]


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """A side branch: its cap, and the other gates and taps on the way from the cap inwards."""

    cap: str
    inward: tuple[str, ...]


def family_of(rig: Rig, part_id: str, kinds: Kinds) -> Family | None:
    """What a part of the rig is in the graph of the circuit."""
    part = rig.part(part_id)
    kind = None if part is None else kinds.get(part.kind)
    return None if kind is None else kind.family


def near(rig: Rig, space: str, kinds: Kinds) -> frozenset[str]:
    """The parts on a space: its neighbours in the chains, those behind a gate on it, and the equipment that names it."""
    found: set[str] = set()
    for names in _chains(rig):
        for at, name in enumerate(names):
            if name != space:
                continue
            for way in (-1, 1):
                beside = at + way
                while 0 <= beside < len(names):
                    found.add(names[beside])
                    if family_of(rig, names[beside], kinds) is not Family.GATE:
                        break
                    beside += way
    found.update(part.id for part in rig.parts if any(space in parts for _, parts in part.refs))
    return frozenset(found - {space, ATMOSPHERE})


def beside(rig: Rig, part_id: str, side: str) -> tuple[str, ...]:
    """The parts directly ``before`` or ``after`` a part: those its own reference names, else its chain neighbours.

    A part that lies in no chain, such as a sensor, is looked for at its ``site``.
    """
    part = rig.part(part_id)
    if part is None:
        return ()
    if part.ref(side):
        return part.ref(side)
    step = -1 if side == "before" else 1
    places = part.ref("site") or (part_id,)
    found = [
        names[at + step]
        for names in _chains(rig)
        for at, name in enumerate(names)
        if name in places and 0 <= at + step < len(names)
    ]
    return tuple(dict.fromkeys(name for name in found if name != ATMOSPHERE))


def branches(rig: Rig, part_id: str, kinds: Kinds) -> tuple[Branch, ...]:
    """Every way from a tap or stub to the open air that leads through just one cap."""
    found: list[Branch] = []
    for outward in _ways(rig, part_id):
        if ATMOSPHERE not in outward:
            continue
        out = outward[: outward.index(ATMOSPHERE)]
        caps = [name for name in out if _kind(rig, name) == "cap"]
        if len(caps) != 1:
            continue
        gates = [name for name in reversed(out) if name != caps[0] and _kind(rig, name) in ("clamp", "tap")]
        own = [part_id] if _kind(rig, part_id) == "tap" else []
        found.append(Branch(cap=caps[0], inward=(*gates, *own, *_to_neck(rig, part_id, outward, kinds))))
    return tuple(dict.fromkeys(found))


def _to_neck(rig: Rig, part_id: str, outward: tuple[str, ...], kinds: Kinds) -> tuple[str, ...]:
    """Clamps and taps between the part and the space that the branch leaves, from the part inwards."""
    for way in _ways(rig, part_id):
        if not way or way[0] == outward[0] or ATMOSPHERE in way:
            continue
        found: list[str] = []
        for name in way:
            kind = _kind(rig, name)
            if kind in ("clamp", "tap"):
                found.append(name)
            elif kind != "stub" and family_of(rig, name, kinds) is not Family.GATE:
                return tuple(found)
    return ()


def _ways(rig: Rig, part_id: str) -> Iterator[tuple[str, ...]]:
    """What follows the part in each chain, in both directions."""
    for names in _chains(rig):
        for at, name in enumerate(names):
            if name == part_id:
                yield from (way for way in (names[at + 1 :], names[:at][::-1]) if way)


def _kind(rig: Rig, name: str) -> str:
    part = rig.part(name)
    return "" if part is None else part.kind


def _chains(rig: Rig) -> Iterator[tuple[str, ...]]:
    for chain in rig.chains:
        yield tuple(name.partition(".")[0] for name in chain.parts)
