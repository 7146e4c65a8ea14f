"""Steps that wait for each other: ``after`` against ``after``, or against the order of the page."""

from __future__ import annotations

from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter

from stepwell.model.procedure import AnyOrder, Body, Choose, Hold, Item, Lanes, Meet, Repeat, Stage, Step
from stepwell.source import faults
from stepwell.source.near import listed, quote
from stepwell.source.scope import Scope
from stepwell.source.step_uses import reached

Moment = tuple[int, str]
"""The start or the end of the item with this number."""


@dataclass(slots=True)
class _Plan:
    """What waits for what. ``steps`` are numbers by id, ``names`` ids by number."""

    waits: dict[Moment, set[Moment]] = field(default_factory=dict)
    steps: dict[str, int] = field(default_factory=dict)
    names: dict[int, str] = field(default_factory=dict)
    meets: dict[int, Meet] = field(default_factory=dict)
    around: dict[str, int] = field(default_factory=dict)
    """The meetings of the lanes around, each with its number."""
    count: int = 0
    meetings: bool = True

    def body(self, body: Body, start: Moment, end: Moment, *, loose: bool = False) -> None:
        """Lay out a body between two moments; ``loose``: its items do not wait for each other."""
        self.waits.setdefault(end, set()).add(start)
        before = start
        for item in body:
            before = self.item(item, start if loose else before)
            self.waits[end].add(before)

    def item(self, item: Item, before: Moment) -> Moment:
        """Lay out an item that waits for ``before``; returns its end."""
        if isinstance(item, Meet):
            return self.meet(item, before) if self.meetings else before
        self.count += 1
        start, end = (self.count, "start"), (self.count, "end")
        self.waits[start], self.waits[end] = {before}, {start}
        match item:
            case Step(id=step_id):
                self.steps[step_id] = self.count
                self.names[self.count] = step_id
            case Stage(body=inner) | Repeat(body=inner):
                self.body(inner, start, end)
            case AnyOrder(body=inner):
                self.body(inner, start, end, loose=True)
            case Lanes(lanes=lanes):
                outer, self.around = self.around, {}
                for lane in lanes:
                    self.body(lane.body, start, end)
                self.around = outer
            case Choose(outcomes=outcomes):
                for outcome in outcomes:
                    self.body(outcome.body, start, end)
            case Hold():
                pass
        return end

    def meet(self, meet: Meet, before: Moment) -> Moment:
        """A meeting waits for every lane that comes to it."""
        if meet.name not in self.around:
            self.count += 1
            self.around[meet.name] = self.count
            self.meets[self.count] = meet
        moment = (self.around[meet.name], "end")
        self.waits.setdefault(moment, set()).add(before)
        return moment


def note_circles(body: Body, scope: Scope, *, meetings: bool) -> None:
    """Note the first circle among the ``after`` and the ``meetings`` of a body, if there is one."""
    uses = [use for use in scope.uses if use.after]
    if not uses and not meetings:
        return
    plan = _Plan(meetings=meetings)
    plan.body(body, (0, "start"), (0, "end"))
    for use in uses:
        for name in reached(use, scope) if use.by in plan.steps else ():
            if name in plan.steps:
                plan.waits[plan.steps[use.by], "start"].add((plan.steps[name], "end"))
    try:
        TopologicalSorter(plan.waits).prepare()
    except CycleError as error:
        met = [plan.meets[number] for number, _ in error.args[1] if number in plan.meets]
        circle = {plan.names[number] for number, _ in error.args[1] if number in plan.names}
        if met:
            _crossing(list(dict.fromkeys(met)), sorted(circle), scope)
            return
        use = next(use for use in uses if use.by in circle and circle & set(reached(use, scope)))
        late = "itself" if use.by in reached(use, scope) else f"{quote(use.id)}, which can only come later"
        scope.notes.step = use.by
        scope.notes.add(
            faults.AFTER_IN_A_CIRCLE,
            use.span,
            f"{quote(use.by)} waits for {late}.",
            "Delete this `after`, or change the order of the steps.",
        )
        scope.notes.step = None


def _crossing(met: list[Meet], steps: list[str], scope: Scope) -> None:
    names = listed(meet.name for meet in met)
    several = len(met) > 1
    by = f" through {listed(steps)}" if steps and not several else ""
    scope.notes.add(
        faults.MEETINGS_CROSS,
        met[0].span,
        f"The meetings {names} wait for each other: not every lane comes to them in the same order."
        if several
        else f"The meeting {names} waits for itself{by}: something that must be done before it comes only after it.",
        "Put the meetings in the same order in every lane, and let no step before one come `after` a step behind it.",
    )
