"""From a procedure's body to a program. The meaning of every construct is defined in stepwell.orders.program."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from stepwell.model.predicate import Predicate
from stepwell.model.procedure import (
    Action,
    AnyOrder,
    Body,
    Choose,
    Condition,
    Expectation,
    Hold,
    Item,
    Lanes,
    Meet,
    Outcome,
    Repeat,
    Stage,
    Step,
)
from stepwell.orders.jumps import Frame, Place, join_after, join_jumps
from stepwell.orders.meetings import LanePoints, join_meetings
from stepwell.orders.pauses import with_pauses
from stepwell.orders.program import Ask, Bar, Do, End, Jump, Look, Loop, Node, Option, Problem, Program, bits
from stepwell.orders.relations import page_order, relations

Made = dict[int, tuple[Step, tuple[Do, ...], Look]]
"""Steps by their ``id()``, each held so that its id stays its own, with the nodes that they become."""
MOST_MADE = 5_000
"""So many are kept; then all are let go, for they are soon made again."""


def compile_body(body: Body, *, timed: bool = True, made: Made | None = None) -> Program:
    """The program of a body. What can't be compiled is left out and listed in ``problems``; nothing is raised.

    ``timed`` False leaves out what lies between actions, for worlds in which no rule counts time: it is worked out anew
    for each variant of a body, and takes longer than all the rest. ``made``: what the steps of other variants became, for
    most of a body's steps are those of the others.
    """
    problems: list[Problem] = []
    ready = {} if made is None else made
    if len(ready) >= MOST_MADE:
        ready.clear()
    builder = _Builder(problems, ready)
    builder.sequence(body, 0, _TOP)
    join_after(builder.needs, builder.places, problems)
    jumps = join_jumps(builder.places, builder.sequences, problems)
    nodes = tuple(
        replace(node, jump=jumps[index]) if isinstance(node, Look) and index in jumps else node
        for index, node in enumerate(builder.nodes)
    )
    steps = {place.step.id: 0 for place in builder.places}
    for place in builder.places:
        steps[place.step.id] |= place.nodes
    by_id = {place.step.id: place.step for place in builder.places}
    return _finished(nodes, builder.needs, tuple(steps.items()), tuple(problems), by_id if timed else None)


def _finished(
    nodes: tuple[Node, ...],
    needs: list[int],
    steps: tuple[tuple[str, int], ...],
    problems: tuple[Problem, ...],
    by_id: dict[str, Step] | None,
) -> Program:
    order = page_order(needs)
    if order != tuple(range(len(nodes))):
        new = {old: index for index, old in enumerate(order)}

        def moved(mask: int) -> int:
            return sum(1 << new[old] for old in bits(mask))

        nodes = tuple(_renumbered(nodes[old], moved) for old in order)
        needs = [moved(needs[old]) for old in order]
        steps = tuple((step, moved(mask)) for step, mask in steps)
    if by_id is not None:
        nodes = with_pauses(nodes, needs, by_id)
    covers, surely = relations(nodes, needs)
    return Program(nodes=nodes, needs=tuple(needs), covers=covers, surely=surely, steps=steps, problems=problems)


def _renumbered(node: Node, moved: Callable[[int], int]) -> Node:
    match node:
        case Ask(options=options):
            return replace(node, options=tuple(replace(option, skips=moved(option.skips)) for option in options))
        case Loop(leaves=leaves):
            return replace(node, leaves=moved(leaves))
        case End(own=own):
            return replace(node, own=moved(own))
        case Look(jump=Jump() as jump):
            return replace(node, jump=replace(jump, skips=moved(jump.skips), undoes=moved(jump.undoes)))
    return node


class _At:
    """Where in the body the builder is: the frames around it and the rounds of the repeats around it."""

    __slots__ = ("frames", "rounds")

    def __init__(self, frames: tuple[Frame, ...], rounds: tuple[tuple[str, int], ...]) -> None:
        self.frames = frames
        self.rounds = rounds

    def at(self, sequence: int, index: int) -> _At:
        """Item ``index`` of a sequence."""
        return _At((*self.frames, Frame(sequence, index, "")), self.rounds)

    def through(self, way: str) -> _At:
        """Inside the item: in what way its steps follow from the item's place."""
        return _At((*self.frames[:-1], self.frames[-1]._replace(way=way)), self.rounds)

    def round(self, repeat: str, number: int) -> _At:
        """In a round of a repeat."""
        return _At(self.frames, (*self.rounds, (repeat, number)))


_TOP = _At((), ())


class _Builder:
    """Nodes in the order of the page. Every method returns the mask of the nodes it made; ``before`` is what they need."""

    def __init__(self, problems: list[Problem], ready: Made) -> None:
        self.problems = problems
        self.ready = ready
        self.lane: LanePoints | None = None
        self.nodes: list[Node] = []
        self.needs: list[int] = []
        self.places: list[Place] = []
        self.sequences: list[list[int]] = []

    def add(self, node: Node, before: int) -> int:
        self.nodes.append(node)
        self.needs.append(before)
        return 1 << (len(self.nodes) - 1)

    def sequence(self, body: Body, before: int, at: _At) -> int:
        number = len(self.sequences)
        masks: list[int] = []
        self.sequences.append(masks)
        made = 0
        for index, item in enumerate(body):
            masks.append(self.item(item, before | made, at.at(number, index)))
            made |= masks[-1]
        return made

    def item(self, item: Item, before: int, at: _At) -> int:
        match item:
            case Step():
                return self.step(item, before, at)
            case Stage(body=body):
                return self.sequence(body, before, at.through("stage"))
            case AnyOrder() | Choose() | Repeat():
                return self.apart(item, before, at)
            case Lanes(lanes=lanes):
                return self.lanes(tuple(lane.body for lane in lanes), before, at)
            case Hold():
                return self.add(_bar(item), before)
            case Meet(name=name):
                if self.lane is None:
                    message = "stands where nobody else can come to it, so nobody waits there"
                    self.problems.append(
                        Problem(kind="meeting", step="", other=name, message=f"the meeting “{name}” {message}")
                    )
                else:
                    self.lane.reached(name, len(self.nodes))
                return 0

    def beside(self, bodies: tuple[Body, ...], before: int, at: _At) -> int:
        made = 0
        for body in bodies:
            made |= self.sequence(body, before, at.through("beside"))
        return made

    def lanes(self, bodies: tuple[Body, ...], before: int, at: _At) -> int:
        """Side by side, with the edges of their meetings."""
        outer, made = self.lane, 0
        points: list[LanePoints] = []
        for body in bodies:
            self.lane = LanePoints(len(self.nodes))
            points.append(self.lane)
            made |= self.sequence(body, before, at.through("beside"))
            self.lane.end = len(self.nodes)
        self.lane = outer
        join_meetings(self.needs, points, self.problems)
        return made

    def apart(self, item: AnyOrder | Choose | Repeat, before: int, at: _At) -> int:
        """A group in which no meeting of the lane around it can stand."""
        outer, self.lane = self.lane, None
        match item:
            case AnyOrder(body=body):
                made = self.beside(tuple((inner,) for inner in body), before, at)
            case Choose():
                made = self.choose(item, before, at)
            case Repeat():
                made = self.repeat(item, before, at)
        self.lane = outer
        return made

    def step(self, step: Step, before: int, at: _At) -> int:
        asked = len(self.nodes)
        ask = self.add(_NO_ANSWERS, before) if step.optional else 0
        made = 0
        _, doings, look = self.ready.get(id(step)) or self.ready.setdefault(id(step), (step, _doings(step), _look(step)))
        for node in doings:
            made |= self.add(node, before | ask | made)
        if step.expect or not step.do:
            made |= self.add(look, before | ask | made)
        if ask:
            options = (Option(label="in", skips=0), Option(label="out", skips=made))
            self.nodes[asked] = Ask(name=step.id, who=step.who, options=options, optional=True)
        self.places.append(Place(step, ask, made, at.frames, at.rounds))
        return ask | made

    def choose(self, choose: Choose, before: int, at: _At) -> int:
        asked = len(self.nodes)
        ask = self.add(_NO_ANSWERS, before)
        masks = [self.outcome(choose, outcome, before, ask, at.through("choose")) for outcome in choose.outcomes]
        made = 0
        for mask in masks:
            made |= mask
        options = tuple(
            Option(label=outcome.label, skips=made & ~mask, guard=outcome.when)
            for outcome, mask in zip(choose.outcomes, masks, strict=True)
        )
        self.nodes[asked] = Ask(name=choose.id, who=choose.who, options=options)
        return ask | made

    def outcome(self, choose: Choose, outcome: Outcome, before: int, ask: int, at: _At) -> int:
        made = self.sequence(outcome.body, before | ask, at)
        if outcome.end or outcome.card is not None:
            end = End(name=choose.id, label=outcome.label, card=outcome.card, bare=not made, own=ask | made)
            made |= self.add(end, before | end.own)
        return made

    def repeat(self, repeat: Repeat, before: int, at: _At) -> int:
        looks: list[int] = []
        made = 0
        for number in range(1, repeat.at_most + 1):
            made |= self.sequence(repeat.body, before | made, at.through("repeat").round(repeat.id, number))
            looks.append(len(self.nodes))
            loop = Loop(repeat=repeat.id, until=repeat.until, round=number, last=number == repeat.at_most, leaves=0)
            made |= self.add(loop, before | made)
        for index in looks:
            node = self.nodes[index]
            assert isinstance(node, Loop)
            self.nodes[index] = replace(node, leaves=made & ~((2 << index) - 1))
        return made


_NO_ANSWERS = Ask(name="", who="", options=())
"""Stands in for a decision until the nodes that its answers skip are known."""


def _doings(step: Step) -> tuple[Do, ...]:
    each = _together(step)
    return tuple(
        Do(step=step.id, who=step.who, index=index, actions=actions, size=len(each), takes=step.takes)
        for index, actions in enumerate(each)
    )


def _together(step: Step) -> tuple[tuple[Action, ...], ...]:
    if step.at_once and step.do:
        return (step.do,)
    return tuple((action,) for action in step.do)


def _conditions(expects: tuple[Expectation, ...]) -> tuple[Predicate, ...]:
    return tuple(expect.predicate for expect in expects if isinstance(expect, Condition))


def _look(step: Step) -> Look:
    conditions = _conditions(step.expect)
    return Look(step=step.id, who=step.who, expects=step.expect, conditions=conditions, otherwise=step.if_not)


def _bar(hold: Hold) -> Bar:
    conditions = _conditions(hold.until)
    return Bar(hold=hold.id, expects=hold.until, conditions=conditions, agree=hold.agree, abort=hold.abort)
