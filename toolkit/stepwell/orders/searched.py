"""What a search found: runs, and how far it came."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, NamedTuple

from stepwell.model.tri import Tri
from stepwell.orders.branches import narrowed
from stepwell.orders.program import Do, Program
from stepwell.orders.world import S, World


class Move(NamedTuple):
    """One node taken. ``option`` as in stepwell.orders.branches (0 for an action); ``truth`` of what was looked at."""

    node: int
    option: int = 0
    truth: Tri = Tri.YES


@dataclass(frozen=True, slots=True)
class Run:
    """A run from the start of this index of ``World.starts()``. ``length`` counts actions (those at once as one)."""

    start: int
    moves: tuple[Move, ...]
    length: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """The shortest run that violates a rule: by its last move or, if ``at_end``, by ending there.

    ``shortest`` is False where a search that was cut short did not show that there is no shorter one.
    """

    rule: str
    run: Run
    at_end: bool
    shortest: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """The shortest run to an action that is physically impossible there; the last move is that action."""

    node: int
    reason: str
    run: Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Failed:
    """The shortest run that fails at a look, hold, question or repeat: blocked or aborted.

    ``option`` of the last move tells which condition (see stepwell.orders.branches); ``truth`` NO or MAYBE, what it
    was seen to be.
    """

    node: int
    option: int
    truth: Tri
    run: Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Dead:
    """States from which the end can't be reached any more: how many, and the shortest run to one of them."""

    states: int
    run: Run


@dataclass(frozen=True, slots=True)
class Ended(Generic[S]):
    """A state in which a run can end, the card that takes over (or None), and the shortest run to it."""

    state: S
    card: str | None
    run: Run


@dataclass(frozen=True, slots=True)
class Reached:
    """How far an incomplete search came. ``length``: all runs of at most so many actions were searched; -1: none.

    What it was up against: ``open``, the steps (or holds) that could be taken next in the widest place that was left,
    and ``worlds``, how many different states of the world were met.
    """

    states: int
    length: int
    reason: str
    open: tuple[str, ...] = ()
    worlds: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched(Generic[S]):
    """The result of a search. Tuples are in the order of length, then of discovery; ``violated`` by length, then name.

    ``stuck``: neither an end nor a way that the card provides (an abort) can be reached any more.
    ``must_abort``: no end, but an abort. Where the search was cut short, only what is certain is counted.
    """

    violated: tuple[Violation, ...]
    refused: tuple[Refused, ...]
    blocked: tuple[Failed, ...]
    aborted: tuple[Failed, ...]
    ended: tuple[Ended[S], ...]
    stuck: Dead | None
    must_abort: Dead | None
    complete: bool
    bound: Reached | None
    states: int
    transitions: int
    longest: int
    """The length of the longest shortest run to a state."""

    @property
    def finishes(self) -> bool:
        """True if at least one run reaches the end."""
        return bool(self.ended)

    def violation(self, rule: str) -> Violation | None:
        """The shortest run that violates this rule, or None if none was met."""
        return next((found for found in self.violated if found.rule == rule), None)


def replay(program: Program, world: World[S], run: Run) -> tuple[S, ...]:
    """The state at the start and after each move. A move that is refused or fails leaves the state as it was."""
    state = world.starts()[run.start]
    states = [state]
    for move in run.moves:
        node = program.nodes[move.node]
        if isinstance(node, Do):
            after = world.act(state, node).state
            state = state if after is None else after
        else:
            state = narrowed(world, node, state, move.option)
        states.append(state)
    return tuple(states)
