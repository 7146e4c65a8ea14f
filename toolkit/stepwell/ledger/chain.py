"""The entries as a graph: who comes after whom, what is missing, what was altered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from heapq import heapify, heappop, heappush

from stepwell.ledger.entry import Entry
from stepwell.ledger.problems import (
    BACK_DATED,
    BEGINS_TWICE,
    HEAD_MISSING,
    PARENT_MISSING,
    Problem,
)

SLACK = timedelta(minutes=10)
"""Two computers' clocks may differ by so much before an entry counts as dated back."""


@dataclass(frozen=True)
class Chain:
    """Entries whose parents are all there, in an order in which parents come first; ``problems`` tell of the others."""

    entries: tuple[Entry, ...]
    problems: tuple[Problem, ...]

    @cached_property
    def by_id(self) -> dict[str, Entry]:
        """The entries by their ids."""
        return {entry.id: entry for entry in self.entries}

    @cached_property
    def heads(self) -> tuple[str, ...]:
        """The ids that no entry names as a parent, sorted: what the next entry must name."""
        named = {parent for entry in self.entries for parent in entry.parents}
        return tuple(sorted(id_ for id_ in self.by_id if id_ not in named))

    @cached_property
    def _before(self) -> dict[str, frozenset[str]]:
        before: dict[str, frozenset[str]] = {}
        for entry in self.entries:
            found = set(entry.parents)
            for parent in entry.parents:
                found |= before[parent]
            before[entry.id] = frozenset(found)
        return before

    def before(self, id_: str) -> frozenset[str]:
        """All ids that an entry comes after."""
        return self._before[id_]


def build_chain(found: Iterable[Entry]) -> Chain:
    """Put entries in order. An entry whose parents are missing is left out, with everything after it."""
    by_id = {entry.id: entry for entry in found}
    children: dict[str, list[str]] = {}
    waiting: dict[str, int] = {}
    problems: list[Problem] = []
    for id_, entry in by_id.items():
        waiting[id_] = len(entry.parents)
        for parent in entry.parents:
            children.setdefault(parent, []).append(id_)
    ready = [(by_id[id_].time, id_) for id_, count in waiting.items() if not count]
    roots = sorted(id_ for _, id_ in ready)
    heapify(ready)
    order: list[Entry] = []
    while ready:
        _, id_ = heappop(ready)
        order.append(by_id[id_])
        for child in children.get(id_, ()):
            waiting[child] -= 1
            if not waiting[child]:
                heappush(ready, (by_id[child].time, child))
    placed = {entry.id for entry in order}
    for id_, entry in sorted(by_id.items()):
        if id_ not in placed:
            missing = sorted(parent for parent in entry.parents if parent not in by_id)
            if missing:
                problems.append(PARENT_MISSING.at(id_, f"It comes after {', '.join(p[:12] for p in missing)}."))
    if len(roots) > 1:
        problems.append(BEGINS_TWICE.at(roots[1], f"The beginnings are {', '.join(root[:12] for root in roots)}."))
    for entry in order:
        late = [by_id[parent] for parent in entry.parents if by_id[parent].time > entry.time + SLACK]
        if late:
            told = f"It says {entry.time:%Y-%m-%d %H:%M}, but comes after one of {late[0].time:%Y-%m-%d %H:%M}."
            problems.append(BACK_DATED.at(entry.id, told))
    return Chain(entries=tuple(order), problems=tuple(problems))


def head_problems(chain: Chain, heads: Iterable[str]) -> tuple[Problem, ...]:
    """Heads that were noted elsewhere (minutes, another copy) and are not in this chain: something was cut off."""
    known = tuple(chain.by_id)
    return tuple(
        HEAD_MISSING.at(head, f"The head {head[:12]} was witnessed, and is not here.")
        for head in heads
        if not any(id_.startswith(head) for id_ in known)
    )
