"""Every run, one by one: nothing is remembered, nothing is pruned. Facts are sets of names; runs are rewritten terms.

It shares no code with the search: the composition is that of ``tests.orders.reference``, the world is read from the
instance by itself.
"""

from __future__ import annotations

from typing import Any

from stepwell.model.procedure import Action, Condition
from tests.orders.reference import DONE, Term, clean, heads, tags, term_of

from .instance import Instance, Literals, literals_of

State = frozenset[str]


class TooManyError(Exception):
    """More runs than can be looked at."""


def holds(literals: Literals, state: State) -> bool:
    return all((name in state) is value for name, value in literals)


class EveryRun:
    """``shortest``: rule to the length of the shortest run that violates it; ``ends``: states at the end of a run."""

    def __init__(self, instance: Instance, most: int) -> None:
        self.instance = instance
        self.left = most
        self.shortest: dict[str, int] = {}
        self.ends: set[State] = set()
        self.refused: set[str] = set()
        self.runs = 0
        for start in instance.starts:
            self.go_on(clean(term_of(instance.body)), start, 0)

    def note(self, moment: str, state: State, length: int, verb: str = "") -> None:
        for rule in self.instance.rules:
            if rule.moment == moment and rule.verb == (verb or rule.verb) and holds(rule.bad, state):
                self.shortest[rule.name] = min(length, self.shortest.get(rule.name, length))

    def go_on(self, term: Term, state: State, length: int) -> None:
        self.left -= 1
        if self.left < 0:
            raise TooManyError
        taken = list(heads(term, frozenset(tags(term))))
        if term == DONE or any(atom[0] == "end" for atom, _ in taken):
            self.runs += 1
            self.ends.add(state)
            self.note("end", state, length)
            return
        for atom, around in taken:
            for cost, new, then in self.ways(atom, state, length):
                self.go_on(around(new), then, length + cost)

    def ways(self, atom: Term, state: State, length: int) -> list[tuple[int, Term, State]]:
        match atom[0]:
            case "do":
                after = self.do(atom[3], state, length)
                return [] if after is None else [(1, DONE, after)]
            case "look":
                return [(0, DONE, state)] if self.seen(atom[2].expect, state) else []
            case "bar":
                return [(0, DONE, state)] if self.seen(atom[1].until, state) else []
            case "optional":
                return [(0, atom[2], state), (0, DONE, state)]
            case "ask":
                return [(0, inner, state) for when, inner in atom[2] if when is None or holds(literals_of(when), state)]
            case "loop":
                if holds(literals_of(atom[1].until), state):
                    return [(0, DONE, state)]
                return [] if atom[2] else [(0, atom[3], state)]
        raise AssertionError(atom)

    def seen(self, expects: Any, state: State) -> bool:
        return all(holds(literals_of(each.predicate), state) for each in expects if isinstance(each, Condition))

    def do(self, actions: tuple[Action, ...], state: State, length: int) -> State | None:
        for action in actions:
            self.note("before", state, length + 1, action.verb)
            deed = self.instance.deeds[action.verb]
            if not holds(deed.needs, state):
                self.refused.add(action.verb)
                return None
            changes = [change for when, change in deed.effects if holds(when, state)]
            for name, value in changes:
                state = state | {name} if value else state - {name}
        self.note("after", state, length + 1)
        return state
