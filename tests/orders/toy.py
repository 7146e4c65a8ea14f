"""A small world of three-valued variables: conditional effects, preconditions, and rules of three shapes."""

from __future__ import annotations

from random import Random
from typing import Generic

from stepwell.model.predicate import Fact, Predicate
from stepwell.model.procedure import Action
from stepwell.model.tri import Tri
from stepwell.orders.program import Do
from stepwell.orders.world import Acted, Observed, S

from .bodies import VARIABLES, VERBS

Toy = tuple[int, ...]
"""A value 0..2 per variable, then a mask of the verbs that were done."""


class ToyWorld:
    """Rules: ``state`` (two variables meet), ``order`` (a verb before another), ``end`` (a variable is not so)."""

    def __init__(self, random: Random, *, refusals: int = 30) -> None:
        def variable() -> int:
            return random.randrange(VARIABLES)

        def value() -> int:
            return random.choice((0, 0, 1, 2, 2))

        self.first = tuple((*tuple(value() for _ in range(VARIABLES)), 0) for _ in range(random.choice((1, 1, 2))))
        self.effects = tuple(
            tuple((variable(), value(), variable(), value()) for _ in range(random.randint(1, 2))) for _ in range(VERBS)
        )
        self.needs = tuple((variable(), random.randrange(100) < refusals) for _ in range(VERBS))
        self.bad = (variable(), value(), variable(), value())
        self.pair = (random.randrange(VERBS), random.randrange(VERBS))
        self.last = variable()

    def starts(self) -> tuple[Toy, ...]:
        return self.first

    def one(self, state: Toy, action: Action) -> Toy | None:
        verb = int(action.verb)
        variable, needed = self.needs[verb]
        if needed and state[variable] == 0:
            return None
        values = list(state)
        for looked, value, changed, becomes in self.effects[verb]:
            if state[looked] >= value:
                values[changed] = becomes
        values[-1] |= 1 << verb
        return tuple(values)

    def act(self, state: Toy, node: Do) -> Acted[Toy]:
        return self.act_all(state, node.actions)

    def act_at(self, step: str, index: int, state: Toy, actions: tuple[Action, ...]) -> Acted[Toy]:
        return self.act_all(state, actions)

    def act_all(self, state: Toy, actions: tuple[Action, ...]) -> Acted[Toy]:
        broke: set[str] = set()
        for action in actions:
            if int(action.verb) == self.pair[1] and not state[-1] >> self.pair[0] & 1:
                broke.add("order")
            after = self.one(state, action)
            if after is None:
                return Acted(None, "not possible", frozenset(broke))
            state = after
        one, value, other, more = self.bad
        if state[one] == value and state[other] == more:
            broke.add("state")
        return Acted(state, None, frozenset(broke))

    def observe(self, state: Toy, predicate: Predicate) -> Observed[Toy]:
        assert isinstance(predicate, Fact)
        variable = int(predicate.args[0].name)
        return Observed(Tri(state[variable]), (*state[:variable], 2, *state[variable + 1 :]))

    def finish(self, state: Toy) -> frozenset[str]:
        return frozenset() if state[self.last] == 2 else frozenset({"end"})


class StillWorld(Generic[S]):
    """Nothing ever changes; every fact is as true as ``truth``."""

    def __init__(self, start: S, truth: Tri = Tri.YES) -> None:
        self.start = start
        self.truth = truth

    def starts(self) -> tuple[S, ...]:
        return (self.start,)

    def act(self, state: S, node: Do) -> Acted[S]:
        return Acted(state)

    def observe(self, state: S, predicate: Predicate) -> Observed[S]:
        return Observed(self.truth, state)

    def finish(self, state: S) -> frozenset[str]:
        return frozenset()


class DoneWorld(StillWorld[int]):
    """The state is the mask of the verbs done (digits); a fact ``so(n)`` is so once verb n was done."""

    def __init__(self) -> None:
        super().__init__(0)

    def act(self, state: int, node: Do) -> Acted[int]:
        for action in node.actions:
            state |= 1 << int(action.verb)
        return Acted(state)

    def observe(self, state: int, predicate: Predicate) -> Observed[int]:
        assert isinstance(predicate, Fact)
        return Observed(Tri.YES if state >> int(predicate.args[0].name) & 1 else Tri.NO, state)
