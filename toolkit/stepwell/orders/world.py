"""What the search explores: states that it can't look into, changed by actions and narrowed by observations."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, NamedTuple, Protocol, TypeVar

from stepwell.model.predicate import Predicate
from stepwell.model.tri import Tri
from stepwell.orders.program import Do

S = TypeVar("S", bound=Hashable)

NOTHING: frozenset[str] = frozenset()


class Acted(NamedTuple, Generic[S]):
    """What an action led to.

    ``state`` is None where the action is physically impossible, and ``refused`` says why; ``broke`` names the rules
    that this transition violates (a refused action may break rules too).
    """

    state: S | None
    refused: str | None = None
    broke: frozenset[str] = NOTHING


class Observed(NamedTuple, Generic[S]):
    """The truth of a predicate, and what the state is known to be if it is seen to be so (unused where it is NO)."""

    truth: Tri
    state_if_so: S


class World(Protocol[S]):
    """A deterministic world. Monitors of rules live inside the state, which must be hashable and comparable."""

    def starts(self) -> tuple[S, ...]:
        """Every state that a run may start from."""

    def act(self, state: S, node: Do) -> Acted[S]:
        """Do the node's actions, at once."""

    def observe(self, state: S, predicate: Predicate) -> Observed[S]:
        """Look whether ``predicate`` is so."""

    def finish(self, state: S) -> frozenset[str]:
        """Names of the rules that are violated if the card ends in this state."""
