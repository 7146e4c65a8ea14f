"""One state of a circuit as values that can be drawn or told, without the numbers it is computed with."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.circuit.contents import DRY, LIQUID
from stepwell.circuit.filling import filling
from stepwell.circuit.hydraulics import FLOWS, contents_of
from stepwell.circuit.kinds import part_kind
from stepwell.circuit.layout import BARE, COVERED, FIRST_MATE, OPEN_AIR, Layout, State
from stepwell.circuit.links import end_points
from stepwell.circuit.paths import union_of_paths
from stepwell.circuit.view import View
from stepwell.model.rig import Part

HIDDEN = ("contents", "mate", "speed", "cycles", "ran")
"""Variables that are told in a way of their own, or not at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartState:
    """``contents`` and ``pressure`` are the masks of ``circuit.contents`` and ``circuit.hydraulics``, None where they
    mean nothing. ``mate`` is ``covered``, ``bare`` or the id of the end it is joined to, for ends only. ``words`` are
    the state words of every other variable, in the order in which the kind declares them."""

    part: str
    contents: int | None = None
    pressure: int | None = None
    words: tuple[str, ...] = ()
    mate: str = ""
    rpm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Liquid moves from one part's space to another's; ``sure`` False: it may."""

    of: str
    to: str
    sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitState:
    """Every part's state, what the flow through the pump may be, and where liquid moves. ``filling``: by a bag's head,
    with the pump standing still."""

    parts: tuple[PartState, ...]
    flow: tuple[str, ...]
    ways: tuple[Way, ...]
    filling: bool = False

    def changed(self, before: CircuitState | None) -> frozenset[str]:
        """Ids of the parts whose own state, or contents, differ; pressure alone is not a change of a part."""
        if before is None:
            return frozenset()
        was = {one.part: (one.contents, one.words, one.mate, one.rpm) for one in before.parts}
        now = {one.part: (one.contents, one.words, one.mate, one.rpm) for one in self.parts}
        return frozenset(part for part, state in now.items() if was.get(part) != state)


def circuit_state(layout: Layout, state: State) -> CircuitState:
    """Read everything that can be drawn from a state."""
    view = View(layout, state)
    names = tuple(name for bit, name in enumerate(FLOWS) if view.water.flow >> bit & 1)
    fill = _filling_ways(view)
    return CircuitState(
        parts=tuple(_part_state(view, part) for part in layout.rig.parts),
        flow=names,
        ways=fill or _moving_ways(view, names),
        filling=bool(fill),
    )


def _part_state(view: View, part: Part) -> PartState:
    layout, state = view.layout, view.state
    kind = part_kind(part.kind)
    variables = () if kind is None else kind.variables
    words: list[str] = []
    for name, _ in variables:
        number = layout.index.get((part.id, name))
        known = () if number is None else layout.variables[number].words
        if number is not None and name not in HIDDEN and len(known) > 1 and 0 <= state[number] < len(known):
            word = known[state[number]]
            # A gas supply's source is told by the id of the part it is on.
            words.append(f"on {layout.labels[word]}" if name == "source" and word in layout.labels else word)
    space = layout.space_of.get(part.id)
    wet = space is not None and contents_of(layout, state, space) & LIQUID
    return PartState(
        part=part.id,
        contents=None if space is None else contents_of(layout, state, space),
        pressure=view.water.pressure[space] if space is not None and wet else None,
        words=tuple(words),
        mate=_mate(layout, state, part.id),
        rpm=state[layout.index[part.id, "speed"]] if (part.id, "speed") in layout.index else None,
    )


def _mate(layout: Layout, state: State, part: str) -> str:
    number = layout.index.get((part, "mate"))
    if number is None:
        return ""
    value = state[number]
    if value >= FIRST_MATE:
        return layout.ends[value - FIRST_MATE].part
    return {COVERED: "covered", BARE: "bare"}[value]


def _filling_ways(view: View) -> tuple[Way, ...]:
    """Ways of a filling under way by gravity: only while something on them may still be dry."""
    layout, state = view.layout, view.state
    if view.water.drive.spaces or view.water.loop.spaces:
        return ()
    fill = filling(layout, state)
    if not any(contents_of(layout, state, space) & DRY for space in fill.may):
        return ()
    return _named(view, fill.ways, sure=False)


def _moving_ways(view: View, names: tuple[str, ...]) -> tuple[Way, ...]:
    layout, water, pump = view.layout, view.water, view.layout.pump(view.state)
    if pump is None or not {"forward", "recirculating", "reverse"} & set(names):
        return ()
    ends = end_points(layout)
    vessels = {n for n, space in enumerate(layout.spaces) if space.kind in ("vein", "artery")}
    found: set[tuple[int, int]] = set()
    if "reverse" in names and len(names) == 1:
        for artery in (n for n in vessels if layout.spaces[n].kind == "artery"):
            found |= union_of_paths(water.links, artery, (ends | {OPEN_AIR}) - {artery}, stop=ends).ways
    else:
        found |= water.loop.ways | water.drive.ways
        for source in vessels | {bag.fluid for bag in layout.bags}:
            found |= union_of_paths(water.links, source, {pump.head}, stop=ends).ways
    return _named(view, frozenset(found), sure=len(names) == 1)


def _named(view: View, ways: frozenset[tuple[int, int]], *, sure: bool) -> tuple[Way, ...]:
    spaces = view.layout.spaces
    return tuple(Way(of=spaces[of].part, to=spaces[to].part, sure=sure) for of, to in sorted(ways))
