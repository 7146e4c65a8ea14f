"""Repairs for slips: a look by somebody else, or one more thing that a hold waits for, that catches what nobody noticed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from stepwell.circuit.fact_table import fact
from stepwell.diagnostics.severity import Severity
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Ref
from stepwell.model.procedure import Body, Condition, Hold, PartName, Step, Text, steps_of
from stepwell.model.rig import Rig
from stepwell.model.slip import Sort
from stepwell.model.tri import Tri
from stepwell.orders.program import Do, Program
from stepwell.orders.search import search
from stepwell.orders.searched import Run, replay
from stepwell.repairs.actions import joined
from stepwell.repairs.added_check import OTHERWISE
from stepwell.repairs.changes import AddCheck, AddStep, AddToHold, Change, NoPlaceError, all_changed
from stepwell.repairs.ids import fresh_id
from stepwell.repairs.kept_slips import KeptSlips, Silent
from stepwell.repairs.leaves import Leaf
from stepwell.repairs.recheck import Rechecks, at_first_sight
from stepwell.repairs.scene import BOUNDS, Scene
from stepwell.repairs.search import Effort, Mend
from stepwell.repairs.telling_facts import asked_for, telling
from stepwell.report.world import Here
from stepwell.rules.evaluate import Ask
from stepwell.slips.searches import UpToHarm
from stepwell.slips.variants import Variant, variants

NO_KEY = ("", "")
EFFORT = Effort()
FACTS = 12
"""So many facts are tried at one place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slipping:
    """A slip that is fatal and that nothing catches. ``where``: the step at which it harms (None: the end of the card).

    ``states``: by step, the state after it in the run that harms.
    """

    silent: Silent
    where: str | None
    parts: tuple[str, ...]
    states: tuple[tuple[str, Here], ...]


class Catcher:
    """Looks for catches on one procedure; ``waived`` are slips that the unit has decided to live with."""

    def __init__(
        self, scene: Scene, rechecks: Rechecks, effort: Effort = EFFORT, waived: frozenset[Silent] = frozenset()
    ) -> None:
        self.scene, self.rechecks, self.effort, self.waived = scene, rechecks, effort, waived
        self.slips = KeptSlips(scene)
        self.asked = asked_for(scene.workspace.procedures)
        self.sound = self._sound()

    def catches(self) -> Iterator[tuple[Slipping, Mend]]:
        """A mend for every fatal slip that nothing catches, in the order of the page; no changes where none is found."""
        found: list[Mend] = []
        for slipping in self._slippings():
            mend = next((one for one in found if one.changes and self._caught(one.body, slipping)), None)
            if mend is None:
                mend = self._mend(slipping)
                found.append(mend)
            yield slipping, mend

    def _mend(self, slipping: Slipping) -> Mend:
        stop_at = self.scene.clock() + self.effort.seconds
        tried = 0
        for change in self._proposals(slipping):
            if tried >= self.effort.candidates or self.scene.clock() > stop_at:
                return Mend(key=NO_KEY, tried=tried, cut_short=True)
            try:
                body = all_changed(self.scene.procedure.body, (change,))
            except NoPlaceError:
                continue
            tried += 1
            if not self._caught(body, slipping) or at_first_sight(self.scene, NO_KEY, body) is None:
                continue
            if not self.rechecks.passes(NO_KEY, body):
                continue
            new = self.slips.new_ones(body, Severity.FATAL, hopeless=False)
            if new is not None and not new[0]:
                return Mend(key=NO_KEY, changes=(change,), body=body, tried=tried)
        return Mend(key=NO_KEY, tried=tried)

    def _proposals(self, slipping: Slipping) -> Iterator[Change]:
        """What a hold on the way could wait for, then what a step on the way could look at, then a look of its own."""
        on_the_way = self._on_the_way(slipping)
        told = [(leaf, self._facts(leaf, slipping)) for leaf in on_the_way]
        for leaf, facts in told:
            if isinstance(leaf.item, Hold):
                yield from (AddToHold(hold=leaf.id, condition=Condition(predicate=fact)) for fact in facts)
        looking = [(leaf, facts) for leaf, facts in told if isinstance(leaf.item, Step)]
        for leaf, facts in sorted(looking, key=lambda one: not getattr(one[0].item, "expect", ())):
            if leaf.id != slipping.silent[0]:
                for fact in facts:
                    yield AddCheck(step=leaf.id, condition=Condition(predicate=fact), otherwise=OTHERWISE)
        for leaf, facts in reversed(looking):
            yield from (self._look(leaf, fact, slipping) for fact in facts)

    def _on_the_way(self, slipping: Slipping) -> list[Leaf]:
        start, end = self.scene.leaf(slipping.silent[0]), self.scene.leaf(slipping.where)
        first = 0 if start is None or slipping.silent[1] is Sort.EARLY else start.place
        last = len(self.scene.leaves) if end is None else end.place
        between = [leaf for leaf in self.scene.leaves if first <= leaf.place < last]
        return [leaf for leaf in between if isinstance(leaf.item, Step | Hold) and not leaf.loose]

    def _facts(self, leaf: Leaf, slipping: Slipping) -> list[Predicate]:
        """What tells the slip there: first what the unit asks for elsewhere, then what is plain, then what is denied."""
        sound, slipped = self._asks(leaf, slipping)
        if sound is None or slipped is None:
            return []
        found = sorted(
            telling(self.scene.rig, slipping.parts, sound, slipped),
            key=lambda one: (_name(one) not in self.asked, isinstance(one, Not), len(_args(one))),
        )
        mine = tuple(dict.fromkeys(_parts_of(self.scene.procedure.body, slipping.silent[0])))
        return list(dict.fromkeys(_of_all(fact, mine, sound, self.scene.rig) for fact in found[:FACTS]))

    def _asks(self, leaf: Leaf, slipping: Slipping) -> tuple[Ask | None, Ask | None]:
        """What answers facts where this step is done, or this hold is passed, in the sound run and in the other."""
        upto = leaf if isinstance(leaf.item, Step) else self._step_before(leaf)
        name = "" if upto is None else upto.id
        slipped = dict(slipping.states)
        # The slipped step may be left out: then the state is that before it.
        fits = [one for one in self.scene.leaves if upto is not None and one.place <= upto.place]
        last = next((slipped[one.id] for one in reversed(fits) if one.id in slipped), slipped.get(""))
        sound = self.sound.get(name)
        if sound is None:
            sound = next((self.sound[one.id] for one in reversed(fits) if one.id in self.sound), None)
        return (
            None if sound is None else self.scene.world.ask(sound.circuit),
            None if last is None else self.scene.world.ask(last.circuit),
        )

    def _step_before(self, leaf: Leaf) -> Leaf | None:
        before = [one for one in self.scene.leaves if one.place < leaf.place and isinstance(one.item, Step)]
        return before[-1] if before else None

    def _look(self, leaf: Leaf, fact: Predicate, slipping: Slipping) -> Change:
        """A look of its own behind a step, by somebody else than the one who does the step that may go wrong."""
        doer = self.scene.leaf(slipping.silent[0])
        who = getattr(doer.item, "who", "") if doer is not None else ""
        others = [role for role in self.scene.procedure.people if role != who] or [who]
        about = [arg for arg in _args(fact) if self.scene.rig.part(arg) is not None]
        words: list[Text | PartName] = [Text("Look at " if about else "Look at the display")]
        for number, part in enumerate(about):
            words += [Text(", " if number < len(about) - 1 else " and ")] if number else []
            words.append(PartName(part))
        step = Step(
            id=fresh_id({one.id for one in self.scene.leaves}, (self.scene.procedure.id, "look", str(fact))),
            who=leaf.lane or others[0],
            say=joined((*words, Text("."))),
            expect=(Condition(predicate=fact),),
            if_not=OTHERWISE,
        )
        return AddStep(step=step, anchor=leaf.id, before=False)

    def _caught(self, body: Body, slipping: Slipping) -> bool:
        step, sort, rule = slipping.silent
        mine = tuple(one for one in variants(body, self.scene.rig) if (one.step, one.sort) == (step, sort))
        found = self.slips.silent_at(mine, Severity.FATAL)
        return found is not None and rule not in {name for name, _ in found}

    def _slippings(self) -> Iterator[Slipping]:
        every = variants(self.scene.procedure.body, self.scene.rig)
        for (step, sort), group in groupby(every, key=lambda one: (one.step, one.sort)):
            told: set[str] = set()
            for variant in group:
                found = self.slips.silent_at((variant,), Severity.FATAL)
                for rule, where in sorted(found or (), key=lambda one: (one[0], one[1] or "")):
                    if rule not in told and (step, sort, rule) not in self.waived:
                        told.add(rule)
                        yield self._slipping(variant, (step, sort, rule), where)

    def _slipping(self, variant: Variant, silent: Silent, where: str | None) -> Slipping:
        program = self.scene.program_of(variant.body)
        world = UpToHarm(self.scene.world, frozenset((silent[2],)))
        result = search(program, world, bounds=BOUNDS, clock=self.scene.clock)
        broken = result.violation(silent[2])
        touched = [part for one in (variant.body, self.scene.procedure.body) for part in _parts_of(one, silent[0])]
        states = {} if broken is None else self._states(program, broken.run)
        return Slipping(silent=silent, where=where, parts=tuple(dict.fromkeys(touched)), states=tuple(states.items()))

    def _sound(self) -> dict[str, Here]:
        """The state after each step in one order that reaches the end."""
        program = self.scene.program_of(self.scene.procedure.body)
        result = search(program, self.scene.world, bounds=BOUNDS, clock=self.scene.clock)
        return self._states(program, result.ended[0].run) if result.ended else {}

    def _states(self, program: Program, run: Run) -> dict[str, Here]:
        states = replay(program, self.scene.world, run)
        found: dict[str, Here] = {"": states[0]}
        for move, after in zip(run.moves, states[1:], strict=True):
            node = program.nodes[move.node]
            if isinstance(node, Do) or node.name in {leaf.id for leaf in self.scene.leaves}:
                found[node.name] = after
        return found


def _of_all(one: Predicate, parts: tuple[str, ...], sound: Ask, rig: Rig) -> Predicate:
    """The same fact of every part of the step that may go wrong: who looks at one of them looks at all."""
    if not isinstance(one, Fact) or len(one.args) != 1 or one.args[0].name not in parts:
        return one
    fit = [part for part in parts if _fits(one.name, part, rig) and sound(one.name, (part,)) is Tri.YES]
    return one if len(fit) < 2 else AllOf(tuple(Fact(one.name, (Ref(part),)) for part in fit))


def _fits(name: str, part: str, rig: Rig) -> bool:
    entry, found = fact(name), rig.part(part)
    return entry is not None and found is not None and (not entry.args[0].kinds or found.kind in entry.args[0].kinds)


def _parts_of(body: Body, step: str) -> Iterator[str]:
    for one in steps_of(body):
        if one.id == step:
            yield from (part for action in one.do for part in action.parts)


def _name(predicate: Predicate) -> str:
    return next((one.name for one in _facts_in(predicate)), "")


def _args(predicate: Predicate) -> tuple[str, ...]:
    return tuple(ref.name for one in _facts_in(predicate) for ref in one.args)


def _facts_in(predicate: Predicate) -> Iterator[Fact]:
    match predicate:
        case Fact():
            yield predicate
        case Not(body=body):
            yield from _facts_in(body)
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            for body in bodies:
                yield from _facts_in(body)
        case _:
            pass
