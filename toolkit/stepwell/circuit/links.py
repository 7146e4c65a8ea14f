"""The graph of what is open: directed links between spaces in one state."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import lru_cache
from typing import NamedTuple

from stepwell.circuit.layout import OPEN_AIR, Layout, State
from stepwell.circuit.memory import looked_up, remembered

KEPT = 8192
"""So many results of a derivation from links alone are kept."""


class Link(NamedTuple):
    """An open way to the space ``to``; ``gas_only`` passes no liquid, ``large`` is wider than a luer."""

    to: int
    gate: int
    gas_only: bool
    large: bool


Links = tuple[tuple[Link, ...], ...]
"""Open ways by the number of the space they leave."""


def open_links(layout: Layout, state: State, *, ignore: Collection[str] = ()) -> Links:
    """Every open way in a state. ``ignore`` names parts whose gates are taken as shut (to look at one side of a joint)."""
    ignored = frozenset(ignore)
    return looked_up(layout, ("links", ignored), state, lambda seen: _open_links(layout, seen, ignored))


def _open_links(layout: Layout, state: State, ignore: frozenset[str]) -> Links:
    links: list[list[Link]] = [[] for _ in layout.spaces]
    pump = layout.pump(state)
    driven = pump is not None and pump.turns(state)
    for number, gate in enumerate(layout.gates):
        if any(state[need.variable] not in need.values for need in gate.needs):
            continue
        if ignore and any(part in ignore for part in gate.parts):
            continue
        links[gate.a].append(Link(gate.b, number, gate.gas_only, gate.large))
        if not (gate.one_way or (driven and gate.pump is not None)):
            links[gate.b].append(Link(gate.a, number, gate.gas_only, gate.large))
    return tuple(map(tuple, links))


@remembered
def every_link(layout: Layout, state: State) -> Links:
    """The ways that would be open with every clamp, tap, cap and vent open: what is joined to what."""
    links: list[list[Link]] = [[] for _ in layout.spaces]
    mates = {end.mate for end in layout.ends}
    for number, gate in enumerate(layout.gates):
        if any(need.variable in mates and state[need.variable] not in need.values for need in gate.needs):
            continue
        links[gate.a].append(Link(gate.b, number, gate.gas_only, gate.large))
        links[gate.b].append(Link(gate.a, number, gate.gas_only, gate.large))
    return tuple(map(tuple, links))


def reached(links: Links, start: Iterable[int], *, stop: Collection[int] = (), gas: bool = False) -> set[int]:
    """Spaces that liquid (or gas, if ``gas``) can reach; spaces in ``stop`` are reached but not passed through."""
    todo = list(start)
    seen = set(todo)
    while todo:
        here = todo.pop()
        if here in stop and here not in start:
            continue
        for link in links[here]:
            if link.to not in seen and (gas or not link.gas_only):
                seen.add(link.to)
                todo.append(link.to)
    return seen


@lru_cache(KEPT)
def reversed_links(links: Links) -> Links:
    """The same ways walked backwards."""
    back: list[list[Link]] = [[] for _ in links]
    for here, out in enumerate(links):
        for link in out:
            back[link.to].append(Link(here, link.gate, link.gas_only, link.large))
    return tuple(map(tuple, back))


@lru_cache(KEPT)
def both_ways(links: Links) -> Links:
    """The same ways without direction: which spaces are in open connection at all."""
    return tuple(tuple({*out, *back}) for out, back in zip(links, reversed_links(links), strict=True))


def end_points(layout: Layout) -> frozenset[int]:
    """Spaces that a path may end in but never pass through: the atmosphere, bags, headspaces, vessels."""
    found: frozenset[int] | None = layout.memory.get("ends")
    if found is None:
        kinds = ("bag", "headspace", "vein", "artery")
        found = frozenset({OPEN_AIR} | {n for n, space in enumerate(layout.spaces) if space.kind in kinds})
        layout.memory["ends"] = found
    return found
