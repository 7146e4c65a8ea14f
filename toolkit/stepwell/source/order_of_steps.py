"""Steps that wait for each other: ``after`` against ``after``, or against the order of the page."""

from __future__ import annotations

from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter

from stepwell.model.procedure import AnyOrder, Body, Choose, Hold, Item, Lanes, Repeat, Stage, Step
from stepwell.source import faults
from stepwell.source.near import quote
from stepwell.source.scope import Scope

Moment = tuple[int, str]
"""The start or the end of the item with this number."""


@dataclass(slots=True)
class _Plan:
    """What waits for what. ``steps`` are numbers by id, ``names`` ids by number."""

    waits: dict[Moment, set[Moment]] = field(default_factory=dict)
    steps: dict[str, int] = field(default_factory=dict)
    names: dict[int, str] = field(default_factory=dict)
    count: int = 0

    def body(self, body: Body, start: Moment, end: Moment, *, loose: bool = False) -> None:
        """Lay out a body between two moments; ``loose``: its items do not wait for each other."""
        self.waits.setdefault(end, set()).add(start)
        before = start
        for item in body:
            before = self.item(item, start if loose else before)
            self.waits[end].add(before)

    def item(self, item: Item, before: Moment) -> Moment:
        """Lay out an item that waits for ``before``; returns its end."""
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
                for lane in lanes:
                    self.body(lane.body, start, end)
            case Choose(outcomes=outcomes):
                for outcome in outcomes:
                    self.body(outcome.body, start, end)
            case Hold():
                pass
        return end


def note_circles(body: Body, scope: Scope) -> None:
    """Note the first circle among the ``after`` of a body, if there is one."""
    uses = [use for use in scope.uses if use.after]
    if not uses:
        return
    plan = _Plan()
    plan.body(body, (0, "start"), (0, "end"))
    for use in uses:
        if use.id in plan.steps and use.by in plan.steps:
            plan.waits[plan.steps[use.by], "start"].add((plan.steps[use.id], "end"))
    try:
        TopologicalSorter(plan.waits).prepare()
    except CycleError as error:
        circle = {plan.names[number] for number, _ in error.args[1] if number in plan.names}
        use = next(use for use in uses if use.by in circle and use.id in circle)
        late = "itself" if use.by == use.id else f"{quote(use.id)}, which can only come later"
        scope.notes.step = use.by
        scope.notes.add(
            faults.AFTER_IN_A_CIRCLE,
            use.span,
            f"{quote(use.by)} waits for {late}.",
            "Delete this `after`, or change the order of the steps.",
        )
        scope.notes.step = None
