"""What is open, dangling or impossible on a rig, also while it is only half written."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TypeAlias

import networkx as nx

from stepwell.circuit.entry import Family
from stepwell.circuit.kinds import part_kind
from stepwell.diagnostics.finding import Finding, reading_order
from stepwell.diagnostics.span import Span
from stepwell.model.rig import ATMOSPHERE, Part, Rig
from stepwell.report import rig_faults as faults
from stepwell.report.faults import Fault

Net: TypeAlias = "nx.Graph[str]"
_THROUGH = frozenset({"line", "pump-head", "oxygenator", "cannula"})
"""Kinds that liquid flows through: with one way only they are the blind end of something forgotten."""
_HIGH = frozenset({"bag", "line", "pump-head", "oxygenator"})


def survey(rig: Rig) -> tuple[Finding, ...]:
    """Everything there is to say, worst first. A rig with none of these may still be wrong: compare it with a real set."""
    return tuple(sorted(_Survey(rig).all(), key=reading_order))


class _Survey:
    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.graph = _graph(rig)
        self.parts = {part.id: part for part in rig.parts}

    def all(self) -> Iterator[Finding]:
        for part in self.rig.parts:
            yield from self._figures(part)
            yield from self._ways(part)
        yield from self._pieces()
        yield from self._pumps()
        yield from self._whole()

    def _say(self, fault: Fault, message: str, mend: str, span: Span | None) -> Finding:
        return Finding(
            rule=fault.name,
            code=fault.code,
            severity=fault.severity,
            message=message,
            mend=mend,
            span=span or self.rig.span,
        )

    def _figures(self, part: Part) -> Iterator[Finding]:
        named = f"The {part.kind} `{part.id}`"
        if part.kind in _HIGH and part.figure("height") is None:
            message = f"{named} has no `height`, so nobody can tell how liquid stands in it."
            yield self._say(faults.HEIGHT_MISSING, message, "Add for example `height: 95 cm`.", part.span)
        lacks = [name for name in ("bore", "length") if part.kind == "line" and part.figure(name) is None]
        if part.kind in ("pump-head", "oxygenator") and part.figure("volume") is None:
            lacks = ["volume"]
        if lacks and part.figure("volume") is None:
            examples = {"bore": "bore: 9.5 mm", "length": "length: 1.5 m", "volume": "volume: 32 mL"}
            words = " and ".join(f"`{name}`" for name in lacks)
            message = f"{named} has no {words}, so its share of the prime volume is not counted."
            yield self._say(
                faults.CAPACITY_MISSING, message, f"Add {', '.join(f'`{examples[name]}`' for name in lacks)}.", part.span
            )
        if part.kind == "clamp" and not part.place:
            message = f"{named} has no `place`, so nobody is told where to find it."
            yield self._say(faults.PLACE_MISSING, message, "Add for example `place: on the return limb`.", part.span)
        if part.kind == "flow-sensor" and not (part.ref("before") and part.ref("after")):
            message = f"{named} does not name the clamps before and behind it, between which it is zeroed."
            mend = "Add for example `before: [return-clamp], after: [drain-clamp]`."
            yield self._say(faults.CLAMPS_NOT_TOLD, message, mend, part.span)

    def _ways(self, part: Part) -> Iterator[Finding]:
        """Parts that lie in a chain, and what lies on their sides."""
        if part.id not in self.graph:
            return
        ways = [other for other in self.graph[part.id] if not self._only_air_beyond(other, part.id)]
        if part.kind in _THROUGH and len(ways) < 2:
            beside = f"only `{ways[0]}` is beside it" if ways else "nothing is beside it"
            message = f"The {part.kind} `{part.id}` ends blind: {beside}, so nothing can flow through it."
            before = ways[0] if ways else "..."
            mend = f"Put `{part.id}` into a chain between its two neighbours, such as `[{before}, {part.id}, ...]`."
            yield self._say(faults.ENDS_BLIND, message, mend, part.span)
        if part.kind == "tap" and len(self.graph[part.id]) < 2:
            message = f"The tap `{part.id}` has nothing on its air side."
            mend = f"Go on in its chain with its cap and the open air: `[..., {part.id}, its-cap, air]`."
            yield self._say(faults.TAP_LEADS_NOWHERE, message, mend, part.span)
        if _family(part) is Family.END and not self._mates(part):
            message = f"The connector `{part.id}` fits `{part.word('fits')}`, and no other connector of this rig does."
            mend = "Add the connector that it is joined to, or correct `fits` on one of the two."
            yield self._say(faults.NOTHING_FITS, message, mend, part.span)

    def _only_air_beyond(self, gate: str, here: str) -> bool:
        """True for a vent or cap to the room: no way for the blood."""
        part = self.parts.get(gate)
        if part is None or _family(part) is not Family.GATE:
            return gate == ATMOSPHERE
        return set(self.graph[gate]) - {here} == {ATMOSPHERE}

    def _mates(self, part: Part) -> list[Part]:
        fits = part.word("fits")
        return [other for other in self.rig.parts if other.id != part.id and fits and other.word("fits") == fits]

    def _joinable(self) -> Net:
        """The graph with every pair of connectors that could be joined."""
        found = self.graph.copy()
        if ATMOSPHERE in found:
            found.remove_node(ATMOSPHERE)
        ends = [part for part in self.rig.parts if part.id in found and _family(part) is Family.END]
        found.add_edges_from((one.id, other.id) for one in ends for other in self._mates(one) if other.id in found)
        return found

    def _pieces(self) -> Iterator[Finding]:
        pieces = sorted(nx.connected_components(self._joinable()), key=lambda one: (-len(one), sorted(one)))
        for piece in pieces[1:]:
            first = next(part for part in self.rig.parts if part.id in piece)
            if {self.parts[name].kind for name in piece if name in self.parts} & {"vein", "artery"}:
                continue  # a vessel of the patient is reached by a cannula that the set is joined to later
            names = ", ".join(f"`{part.id}`" for part in self.rig.parts if part.id in piece)
            message = f"Nothing leads from the rest of the rig to {names}: no chain, and no connector that fits."
            mend = "Let a chain name a part of both pieces, or give both a connector that `fits` the same."
            yield self._say(faults.IN_PIECES, message, mend, first.span)

    def _pumps(self) -> Iterator[Finding]:
        driven = {head for part in self.rig.parts if part.kind == "drive" for head in part.ref("head")}
        reach = self._joinable()
        vents = set(self.graph[ATMOSPHERE]) if ATMOSPHERE in self.graph else set()
        for part in self.rig.parts:
            if part.kind != "pump-head":
                continue
            if part.id not in driven:
                mend = (
                    f"Add the console's drive: `pump: {{kind: drive, label: pump, head: {part.id}, lift-speed: 1200 rpm}}`."
                )
                yield self._say(faults.PUMP_NOT_DRIVEN, f"No drive turns the pump head `{part.id}`.", mend, part.span)
            around = nx.node_connected_component(reach, part.id) if part.id in reach else {part.id}
            kinds = {self.parts[name].kind for name in around if name in self.parts}
            if part.id in reach and not around & vents and not kinds & {"bag", "vein", "artery"}:
                message = f"Air can't leave the loop of `{part.id}`: it has no vent, no cap to the room and no bag."
                mend = "Add the vent of the oxygenator as a chain of its own, such as `[oxygenator, oxy-vent, air]`."
                yield self._say(faults.NO_WAY_OUT_FOR_AIR, message, mend, part.span)

    def _whole(self) -> Iterator[Finding]:
        if not self.rig.baselines:
            mend = "Add `baselines:` with the state in which the set is delivered, such as `unpacked: {prime-bag: lying}`."
            message = "The rig names no state, so no procedure can say where it starts."
            yield self._say(faults.NO_BASELINE, message, mend, self.rig.span)
        heads = [part for part in self.rig.parts if part.kind == "pump-head"]
        if heads and not any("main" in part.traits for part in self.rig.parts):
            mend = "Give every part that blood flows through `trait: main`."
            message = "No part has the trait `main`, so no rule looks for air on the way of the blood."
            yield self._say(faults.NO_MAIN_PATH, message, mend, heads[0].span)


def _family(part: Part) -> Family | None:
    kind = part_kind(part.kind)
    return None if kind is None else kind.family


def _graph(rig: Rig) -> Net:
    """Neighbours in the chains. The air of a bag counts as the bag."""
    found: Net = nx.Graph()
    for chain in rig.chains:
        names = [name.partition(".")[0] for name in chain.parts]
        found.add_nodes_from(names)
        found.add_edges_from(pairwise(names))
    return found
