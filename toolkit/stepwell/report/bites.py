"""The witness that a rule bites: a deletion or a move that would break it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Body, Hold, Item, Procedure, Step, steps_of
from stepwell.orders.compile import compile_body
from stepwell.orders.search import Bounds, Follow, glimpse
from stepwell.report.results import Bites
from stepwell.report.world import CircuitWorld

_FEWER = 0.7
"""With less than this part of the rules left to look for, they get a world of their own: watching costs time."""

NONE_FOUND = "No omission or move of a single step was found that would break it (few orders were tried)."


def without_step(body: Body, step: str) -> Body:
    """The body with one step left out, its expectation with it; what becomes empty stays as an empty frame."""
    return each_leaf(body, lambda leaf: None if isinstance(leaf, Step) and leaf.id == step else leaf)


def blind(body: Body) -> Body:
    """The body with nobody looking: no expectations, and holds that wait for nothing."""

    def unseeing(leaf: Step | Hold) -> Item:
        return replace(leaf, expect=(), if_not=None) if isinstance(leaf, Step) else replace(leaf, until=())

    return each_leaf(body, unseeing)


def without_action(body: Body, step: str, index: int) -> Body:
    """The body with one of a step's actions left out."""

    def shortened(leaf: Step | Hold) -> Item:
        if isinstance(leaf, Step) and leaf.id == step:
            return replace(leaf, do=leaf.do[:index] + leaf.do[index + 1 :])
        return leaf

    return each_leaf(body, shortened)


@dataclass(frozen=True, slots=True, kw_only=True)
class Witnesses:
    """Looks for witnesses on one procedure. ``clock`` gives seconds; the bounds hold for all the looking together."""

    procedure: Procedure
    make_world: Callable[[], CircuitWorld]
    bounds: Bounds
    clock: Callable[[], float]

    def find(self, rules: frozenset[str]) -> dict[str, Bites]:
        """For each rule the first change that would break it, in the order of ``changes``.

        First each change is tried in the order of the page; then, for the rules that are left, with what people do side
        by side the other way round. That no change was found therefore says less than a verdict does, and says so.
        """
        found: dict[str, Bites] = {}
        world, watching = self.make_world().only(rules), len(rules)
        stop_at = self.clock() + self.bounds.seconds
        changes = list(self.changes())
        for follow in (Follow.FIRST, Follow.LAST):
            several: list[tuple[str, str, Body]] = []
            for step, statement, body in changes:
                missing = rules - found.keys()
                if not missing or self.clock() > stop_at:
                    break
                if len(missing) < _FEWER * watching:
                    world, watching = world.only(missing), len(missing)
                program = compile_body(body, timed=world.counts_time)
                seen = glimpse(program, world, wanted=missing, follow=follow, bounds=self.bounds, clock=self.clock)
                for rule in seen.broken:
                    found.setdefault(rule, Bites(step=step, statement=statement))
                if not seen.every:
                    several.append((step, statement, body))
            changes = several
        return {rule: found.get(rule, Bites(step=None, statement=NONE_FOUND)) for rule in rules}

    def changes(self) -> Iterator[tuple[str, str, Body]]:
        """(step, sentence, changed body): omissions; omissions that nobody notices; single actions; moves to the end."""
        body = self.procedure.body
        numbers = {step.id: f"step {n} ({step.id})" for n, step in enumerate(steps_of(body), 1)}
        steps = [step for step in steps_of(body) if step.do]
        for step in steps:
            yield step.id, f"Leaving out {numbers[step.id]} would break it.", without_step(body, step.id)
        unnoticed = "would break it, did a later step not notice or refuse."
        for step in steps:
            left_out = blind(without_step(body, step.id))
            yield step.id, f"Leaving out {numbers[step.id]} {unnoticed}", left_out
        for step in steps:
            for index, action in enumerate(step.do if len(step.do) > 1 else ()):
                what = " ".join((action.verb, *action.parts))
                left_out = blind(without_action(body, step.id, index))
                yield step.id, f"Leaving out one action of {numbers[step.id]} ({what}) {unnoticed}", left_out
        for step in steps:
            moved = (*blind(without_step(body, step.id)), replace(step, expect=(), if_not=None))
            yield step.id, f"Moving {numbers[step.id]} to the end of the card would break it.", moved
