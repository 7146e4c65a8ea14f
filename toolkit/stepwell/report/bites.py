"""The witness that a rule bites: a deletion or a move that would break it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Body, Hold, Item, Procedure, Step, steps_of
from stepwell.orders.alike import Alike, alike
from stepwell.orders.compile import Made, compile_body
from stepwell.orders.control import Control
from stepwell.orders.glimpse import Glimpse, glimpse
from stepwell.orders.program import Program
from stepwell.orders.search import Bounds, Follow
from stepwell.report.results import Bites
from stepwell.report.world import CircuitWorld, Here

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


class Change(NamedTuple):
    """A changed body, the step at which it is changed, the sentence of a witness, and whether nobody looks (``blind``)."""

    step: str
    statement: str
    body: Body
    unseen: bool


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
        What a changed body has in common with the body as it stands is looked at once: there no rule that holds is broken.
        """
        found: dict[str, Bites] = {}
        unseen = blind(self.procedure.body)
        looking = _Looking(self, self.make_world().only(rules), rules, (self.procedure.body, unseen))
        stop_at = self.clock() + self.bounds.seconds
        changes: Iterable[_Compiled] = map(looking.compiled, self.changes(unseen))
        for follow in (Follow.FIRST, Follow.LAST):
            several: list[_Compiled] = []
            for compiled in changes:
                missing = rules - found.keys()
                if not missing or self.clock() > stop_at:
                    break
                seen = looking.at(compiled, follow, missing)
                for rule in seen.broken:
                    found.setdefault(rule, Bites(step=compiled.change.step, statement=compiled.change.statement))
                if not seen.every:
                    several.append(compiled)
            changes = several
        return {rule: found.get(rule, Bites(step=None, statement=NONE_FOUND)) for rule in rules}

    def changes(self, unseen: Body) -> Iterator[Change]:
        """Omissions; omissions that nobody notices; single actions; moves to the end. ``unseen``: the body with nobody
        looking."""
        body = self.procedure.body
        numbers = {step.id: f"step {n} ({step.id})" for n, step in enumerate(steps_of(body), 1)}
        steps = [step for step in steps_of(body) if step.do]
        for step in steps:
            yield Change(step.id, f"Leaving out {numbers[step.id]} would break it.", without_step(body, step.id), False)
        unnoticed = "would break it, did a later step not notice or refuse."
        for step in steps:
            left_out = without_step(unseen, step.id)
            yield Change(step.id, f"Leaving out {numbers[step.id]} {unnoticed}", left_out, True)
        for step in steps:
            for index, action in enumerate(step.do if len(step.do) > 1 else ()):
                what = " ".join((action.verb, *action.parts))
                left_out = without_action(unseen, step.id, index)
                yield Change(step.id, f"Leaving out one action of {numbers[step.id]} ({what}) {unnoticed}", left_out, True)
        for step in steps:
            moved = (*without_step(unseen, step.id), replace(step, expect=(), if_not=None))
            yield Change(step.id, f"Moving {numbers[step.id]} to the end of the card would break it.", moved, True)


class _Compiled(NamedTuple):
    """A change, its program, and what that has in common with the program of the body as it stands."""

    change: Change
    program: Program
    common: Alike | None


class _Looking:
    """Glimpses at changed bodies. Each builds upon one at the body as it stands, or at that with nobody looking."""

    def __init__(self, about: Witnesses, world: CircuitWorld, rules: frozenset[str], bodies: tuple[Body, Body]) -> None:
        self.about, self.world, self.watching, self.timed = about, world, len(rules), world.counts_time
        self.made: Made = {}
        self.bases = tuple((program, Control(program)) for program in map(self._program, bodies))
        self.glimpses: dict[tuple[bool, Follow], Glimpse[Here]] = {}

    def compiled(self, change: Change) -> _Compiled:
        """A change ready to be looked at."""
        program = self._program(change.body)
        return _Compiled(change, program, alike(*self.bases[change.unseen], program, Control(program)))

    def at(self, compiled: _Compiled, follow: Follow, missing: frozenset[str]) -> Glimpse[Here]:
        """What of the ``missing`` rules the change breaks in the runs that are followed."""
        if len(missing) < _FEWER * self.watching:
            self.world, self.watching = self.world.only(missing), len(missing)
            self.glimpses.clear()
        key = compiled.change.unseen, follow
        if key not in self.glimpses:
            self.glimpses[key] = self._glimpse(self.bases[key[0]][0], follow, None, None, None)
        return self._glimpse(compiled.program, follow, missing, self.glimpses[key], compiled.common)

    def _program(self, body: Body) -> Program:
        return compile_body(body, timed=self.timed, made=self.made)

    def _glimpse(
        self,
        program: Program,
        follow: Follow,
        wanted: frozenset[str] | None,
        upon: Glimpse[Here] | None,
        common: Alike | None,
    ) -> Glimpse[Here]:
        bounds, clock = self.about.bounds, self.about.clock
        return glimpse(
            program, self.world, wanted=wanted, follow=follow, bounds=bounds, clock=clock, upon=upon, common=common
        )
