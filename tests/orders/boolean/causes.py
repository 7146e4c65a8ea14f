"""A declared world asked without a search: stepwell.orders.causal, then the sketch enacted, else the slices."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from stepwell.orders.causal import Answer, Case, Plan, Want, causes
from stepwell.orders.causal import When as Moment
from stepwell.orders.enact import enact
from stepwell.orders.program import Bar, Do, End, Look, Program
from stepwell.orders.search import Bounds
from stepwell.orders.searched import Run
from tests.orders.boolean.declared import Conjunction, Declared, Deed, Hazard, When
from tests.orders.boolean.sliced import Decision, decide_one, whole_of


class Literal(NamedTuple):
    """One fact with the value it must have."""

    bit: int
    value: bool


def literals(conjunction: Conjunction) -> tuple[Literal, ...]:
    """One by one."""
    found = []
    left = conjunction.mask
    while left:
        bit = left & -left
        found.append(Literal(bit, bool(conjunction.value & bit)))
        left ^= bit
    return tuple(found)


class Turn(NamedTuple):
    """What may be of a literal afterwards, if it was not so before and if it was."""

    if_not: frozenset[bool]
    if_so: frozenset[bool]


MOST = 20_000
KEEPS = Turn(frozenset({False}), frozenset({True}))


class Causes:
    """A program and a declared world, with what could be shown of the conditions of effects."""

    def __init__(self, program: Program, world: Declared) -> None:
        self.program, self.world = program, world
        self.always: set[tuple[int, int, int]] = set()
        self.never: set[tuple[int, int, int]] = set()
        self.deeds: list[tuple[Deed, ...]] = [
            tuple(world.deeds[action.verb] for action in node.actions) if isinstance(node, Do) else ()
            for node in program.nodes
        ]
        self.wants: dict[Literal, Want] = {}
        self.writers: dict[int, list[int]] = {}
        for index, deeds in enumerate(self.deeds):
            for effect in (effect for deed in deeds for effect in deed.effects):
                for one in literals(Conjunction(effect.mask, 0)):
                    self.writers.setdefault(one.bit, []).append(index)
        self.plan = Plan(program)
        self.plan = Plan(program, self._waits())
        while self._show_conditions():
            self.wants.clear()
            self.plan = Plan(program, self._waits())

    def _show_conditions(self) -> bool:
        """Ask of every condition of an effect whether it always or never holds there; True if something new came out."""
        new = False
        for index, deeds in enumerate(self.deeds):
            for number, deed in enumerate(deeds):
                for place, effect in enumerate(deed.effects):
                    key = (index, number, place)
                    if not effect.when.mask or key in self.always or key in self.never:
                        continue
                    each = literals(effect.when)
                    if self._impossible(index, number, each):
                        self.never.add(key)
                        new = True
                    elif all(self._impossible(index, number, (Literal(one.bit, not one.value),)) for one in each):
                        self.always.add(key)
                        new = True
        return new

    def _impossible(self, index: int, number: int, each: tuple[Literal, ...]) -> bool:
        case = self._before(index, number, each)
        if case is None:
            return True
        answer = causes(self.plan, (case,), starts=len(self.world.beginnings), most=2_000)
        return answer.decided and answer.sketch is None

    def _before(self, index: int, number: int, each: tuple[Literal, ...]) -> Case | None:
        """That these are so where the deed of this number is begun; None if what is done with it before rules that out."""
        wants = []
        for literal in each:
            turn = self._turn(index, literal, number)
            if turn == KEEPS:
                wants.append(self.want(literal))
            elif turn.if_not == turn.if_so == {False}:
                return None
        return Case(when=Moment.BEFORE, wants=tuple(wants), node=index)

    def _turn(self, index: int, literal: Literal, upto: int | None = None) -> Turn:
        if_not, if_so = KEEPS
        for number, deed in enumerate(self.deeds[index][:upto]):
            for place, effect in enumerate(deed.effects):
                key = (index, number, place)
                if not effect.mask & literal.bit or key in self.never:
                    continue
                becomes = frozenset({bool(effect.value & literal.bit) is literal.value})
                sure = not effect.when.mask or key in self.always
                if_not, if_so = (becomes, becomes) if sure else (if_not | becomes, if_so | becomes)
        return Turn(if_not, if_so)

    def want(self, literal: Literal) -> Want:
        """The literal as something wanted."""
        found = self.wants.get(literal)
        if found is None:
            sets = clears = 0
            for index in self.writers.get(literal.bit, ()):
                turn = self._turn(index, literal)
                sets |= (True in turn.if_not) << index
                clears |= (turn.if_not == turn.if_so == {False}) << index
            starts = tuple(bool(start & literal.bit) is literal.value for start in self.world.beginnings)
            found = self.wants[literal] = Want(starts, sets, clears)
        return found

    def _waits(self) -> tuple[tuple[int, Want], ...]:
        found: list[tuple[int, Want]] = []
        for index, node in enumerate(self.program.nodes):
            if self.deeds[index]:
                found += [(index, self.want(one)) for one in literals(self.deeds[index][0].needs)]
            elif isinstance(node, Bar) or (isinstance(node, Look) and node.jump is None):
                conditions = map(self.world.read, node.conditions)
                found += [(index, self.want(one)) for condition in conditions for one in literals(condition)]
        return tuple(found)

    def cases(self, hazard: Hazard) -> tuple[Case, ...]:
        """The ways in which a hazard can come about."""
        each = literals(hazard.bad)
        wants = tuple(map(self.want, each))
        if hazard.when is When.AFTER:
            return (Case(when=Moment.AFTER, wants=wants),)
        if hazard.when is When.END:
            ends = (index for index, node in enumerate(self.program.nodes) if isinstance(node, End))
            return (
                Case(when=Moment.END, wants=wants),
                *(Case(when=Moment.BEFORE, wants=wants, node=end) for end in ends),
            )
        begun = (
            self._before(index, number, each)
            for index, node in enumerate(self.program.nodes)
            if isinstance(node, Do)
            for number, action in enumerate(node.actions)
            if action.verb == hazard.verb
        )
        return tuple(case for case in begun if case is not None)

    def guards(self, index: int) -> tuple[Want, ...]:
        """What must be so right before a node is done, or passed, as far as that is plain."""
        node = self.program.nodes[index]
        if self.deeds[index]:
            return tuple(self.want(one) for one in literals(self.deeds[index][0].needs))
        conditions = node.conditions if isinstance(node, Bar | Look) and getattr(node, "jump", None) is None else ()
        return tuple(self.want(one) for condition in conditions for one in literals(self.world.read(condition)))

    def ask(self, hazard: Hazard) -> tuple[Answer, Run | None]:
        """The answer, and the run that its sketch stands for if that could be enacted.

        Where a guard stops the run, it is taken in, and asked anew.
        """
        cases, guards = self.cases(hazard), dict[int, tuple[Want, ...]]()
        while True:
            answer = causes(self.plan, cases, starts=len(self.world.beginnings), guards=guards, most=MOST)
            if answer.sketch is None:
                return answer, None
            tried = enact(self.program, self.world, hazard.name, answer.sketch)
            if isinstance(tried, Run):
                return answer, tried
            wanted = () if tried is None or tried in guards else self.guards(tried)
            if tried is None or not wanted:
                return answer, None
            guards[tried] = wanted


def decide(program: Program, world: Declared, *, bounds: Bounds, clock: Callable[[], float]) -> tuple[Decision, ...]:
    """Every hazard: by its causes if that settles it, else by its slice."""
    asked, whole = Causes(program, world), None
    found = []
    for hazard in world.hazards:
        answer, run = asked.ask(hazard)
        settled = answer.decided and (answer.sketch is None or (run is not None and run.length == answer.sketch.length))
        if settled:
            found.append(Decision(hazard=hazard.name, run=run, decided=True, states=0))
        else:
            whole = whole or whole_of(program, world)
            found.append(decide_one(whole, hazard, bounds, clock))
    return tuple(found)
