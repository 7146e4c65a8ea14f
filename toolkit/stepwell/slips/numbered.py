"""A world whose states are numbers, for many searches of bodies that differ little.

What an action, a look or an end leads to is kept by number, so that a state is hashed once and not in every search that
meets it. The search itself is that of ``stepwell.orders``.
"""

from __future__ import annotations

from stepwell.model.predicate import Predicate
from stepwell.orders.program import Do, Program
from stepwell.orders.world import Acted, Observed
from stepwell.report.world import CircuitWorld, Here

_NODE_BITS = 24
HARM = "harm"
"""The name under which ``AnyHarm`` tells that some rule is violated."""
_HARMED = frozenset((HARM,))


class Numbered:
    """States of a world by number, and what was worked out of them."""

    def __init__(self, world: CircuitWorld) -> None:
        self.world = world
        self.states: list[Here] = []
        self.ids: dict[Here, int] = {}
        self.acted: dict[int, Acted[int]] = {}
        self.observed: dict[tuple[int, int], Observed[int]] = {}
        self.finished: dict[int, frozenset[str]] = {}
        self._numbers: dict[object, int] = {}
        self._kept: list[object] = []
        self._starts = tuple(map(self._id, world.starts()))

    def _id(self, state: Here) -> int:
        known = self.ids.setdefault(state, len(self.states))
        if known == len(self.states):
            self.states.append(state)
        return known

    def starts(self) -> tuple[int, ...]:
        """Every state that the procedure's ``starts`` permits."""
        return self._starts

    def numbers(self, program: Program) -> dict[int, int]:
        """Per action of a program, by its ``id``: a number that equal actions of other programs have as well."""
        return {id(node): self._number(node) for node in program.nodes if isinstance(node, Do)}

    def _number(self, node: Do) -> int:
        # Bodies share their actions, so that comparing these by identity is enough and much quicker. What is compared so
        # is kept, for an id must not be used again.
        key = (node.step, node.who, node.index, node.size, tuple(map(id, node.actions)), id(node.takes), node.pauses)
        known = self._numbers.get(key)
        if known is None:
            known = self._numbers[key] = len(self._numbers)
            self._kept.append(node)
        return known

    def act(self, state: int, number: int, node: Do) -> Acted[int]:
        """Do a node, whose number is ``number``."""
        key = state << _NODE_BITS | number
        found = self.acted.get(key)
        if found is None:
            real = self.world.act(self.states[state], node)
            after = None if real.state is None else self._id(real.state)
            found = self.acted[key] = Acted(after, real.refused, real.broke)
        return found

    def observe(self, state: int, predicate: Predicate) -> Observed[int]:
        """Look whether a predicate is so."""
        key = state, id(predicate)
        found = self.observed.get(key)
        if found is None:
            self._kept.append(predicate)
            truth, so = self.world.observe(self.states[state], predicate)
            found = self.observed[key] = Observed(truth, self._id(so))
        return found

    def finish(self, state: int) -> frozenset[str]:
        """The rules violated by ending here."""
        found = self.finished.get(state)
        if found is None:
            found = self.finished[state] = self.world.finish(self.states[state])
        return found


class EndingAtHarm:
    """A program's world in which a run ends at the first violation of one of ``rules`` (see ``searches.UpToHarm``)."""

    def __init__(self, numbered: Numbered, program: Program, rules: frozenset[str]) -> None:
        self.numbered, self.rules, self.numbers = numbered, rules, numbered.numbers(program)
        self.starts, self.observe, self.finish = numbered.starts, numbered.observe, numbered.finish

    def act(self, state: int, node: Do) -> Acted[int]:
        """Do a node's actions; refused (whatever came of it) if that is the harm."""
        acted = self.numbered.act(state, self.numbers[id(node)], node)
        return acted if not acted.broke or self.rules.isdisjoint(acted.broke) else Acted(None, "harm", acted.broke)


class AnyHarm:
    """A program's world that tells only whether one of ``rules`` is violated, as a violation of ``HARM``."""

    def __init__(self, numbered: Numbered, program: Program, rules: frozenset[str]) -> None:
        self.numbered, self.rules, self.numbers = numbered, rules, numbered.numbers(program)
        self.starts, self.observe = numbered.starts, numbered.observe

    def act(self, state: int, node: Do) -> Acted[int]:
        """Do a node's actions; refused if that is harm."""
        acted = self.numbered.act(state, self.numbers[id(node)], node)
        return acted if not acted.broke or self.rules.isdisjoint(acted.broke) else Acted(None, HARM, _HARMED)

    def finish(self, state: int) -> frozenset[str]:
        """``HARM`` if ending here is harm."""
        return frozenset() if self.rules.isdisjoint(self.numbered.finish(state)) else _HARMED
