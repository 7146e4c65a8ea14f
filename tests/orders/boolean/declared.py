"""A world of true and false facts whose actions are declared, so that what depends on what can be worked out beforehand.

The facts of a state are the bits of one int.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from stepwell.model.predicate import Predicate
from stepwell.model.procedure import Action
from stepwell.model.tri import tri
from stepwell.orders.program import Do
from stepwell.orders.world import Acted, Observed


class Conjunction(NamedTuple):
    """A conjunction of literals: the facts in ``mask`` are as in ``value``."""

    mask: int
    value: int

    def holds(self, state: int) -> bool:
        """True if it is so in the state."""
        return state & self.mask == self.value


ALWAYS = Conjunction(0, 0)


class Effect(NamedTuple):
    """Where ``when`` was so before the action, the facts in ``mask`` become as in ``value``."""

    when: Conjunction
    mask: int
    value: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """An action: refused where ``needs`` is not so; its effects look at the state before it, later ones win."""

    needs: Conjunction = ALWAYS
    effects: tuple[Effect, ...] = ()

    def done(self, state: int) -> int:
        """The state after it."""
        after = state
        for effect in self.effects:
            if state & effect.when.mask == effect.when.value:
                after = after & ~effect.mask | effect.value
        return after


class When(Enum):
    """When a hazard is looked for."""

    AFTER = "after"
    """After every action."""
    BEFORE = "before"
    """Where an action of this verb is begun, whether or not it can be done."""
    END = "end"
    """Where the card ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """A rule: ``bad`` must not be so."""

    name: str
    when: When
    bad: Conjunction
    verb: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared:
    """Implements ``stepwell.orders.world.World``. ``read`` reads a predicate of the program as a conjunction."""

    beginnings: tuple[int, ...]
    deeds: Mapping[str, Deed]
    hazards: tuple[Hazard, ...]
    read: Callable[[Predicate], Conjunction]

    def starts(self) -> tuple[int, ...]:
        """Every state that a run may start from."""
        return self.beginnings

    def act(self, state: int, node: Do) -> Acted[int]:
        """Do the node's actions, one after the other with nothing between."""
        return self.act_on(state, node.actions)

    def act_on(self, state: int, actions: tuple[Action, ...]) -> Acted[int]:
        """Do actions; hazards after an action look at the state after the last of them."""
        broke: set[str] = set()
        for action in actions:
            for hazard in self.hazards:
                if hazard.when is When.BEFORE and hazard.verb == action.verb and hazard.bad.holds(state):
                    broke.add(hazard.name)
            deed = self.deeds[action.verb]
            if not deed.needs.holds(state):
                return Acted(None, "not possible", frozenset(broke))
            state = deed.done(state)
        for hazard in self.hazards:
            if hazard.when is When.AFTER and hazard.bad.holds(state):
                broke.add(hazard.name)
        return Acted(state, None, frozenset(broke))

    def observe(self, state: int, predicate: Predicate) -> Observed[int]:
        """Look whether ``predicate`` is so."""
        return Observed(tri(self.read(predicate).holds(state)), state)

    def finish(self, state: int) -> frozenset[str]:
        """Hazards that are so where the card ends."""
        return frozenset(hazard.name for hazard in self.hazards if hazard.when is When.END and hazard.bad.holds(state))
