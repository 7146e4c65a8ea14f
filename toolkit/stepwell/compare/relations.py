"""Which step comes surely before which, read from the body alone, and how that changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from stepwell.compare.results import OrderChange, Turn
from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Hold,
    Item,
    Lane,
    Lanes,
    Meet,
    PartName,
    Procedure,
    Repeat,
    Stage,
    Step,
    steps_of,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Precedence:
    """Steps in the order of the page, and per step the mask of those that come surely before it."""

    steps: tuple[Step, ...]
    before: tuple[int, ...]

    def surely(self, first: int, then: int) -> bool:
        """Whether ``first`` comes before ``then`` in every order that has both."""
        return bool(self.before[then] >> first & 1)


def precedence(body: Body) -> Precedence:
    """The order that a body fixes, with ``after`` and meetings. Any order, lanes and answers fix none among each other."""
    return _Reader(body).read()


class _Reader:
    """Walks a body once, then lets every step inherit what comes before the steps before it."""

    def __init__(self, body: Body) -> None:
        self.body = body
        self.steps = steps_of(body)
        self.before = [0] * len(self.steps)
        self.counter = iter(range(len(self.steps)))
        self.meetings: list[tuple[str, int]] = []
        self.bound = False

    def read(self) -> Precedence:
        self.sequence(self.body, 0)
        index = {step.id: at for at, step in enumerate(self.steps)}
        for at, step in enumerate(self.steps):
            for other in step.after:
                if other in index:
                    self.before[at] |= 1 << index[other]
                    self.bound = True
        while self.bound:
            self.inherit()
        return Precedence(steps=self.steps, before=tuple(self.before))

    def inherit(self) -> None:
        self.bound = False
        for at, mask in enumerate(self.before):
            more = mask
            for other in range(len(self.steps)):
                if mask >> other & 1:
                    more |= self.before[other]
            self.bound |= more != mask
            self.before[at] = more

    def visit(self, item: Item, earlier: int) -> int:
        """The mask of the item's steps, each of which comes after ``earlier``."""
        match item:
            case Step():
                at = next(self.counter)
                self.before[at] |= earlier
                return 1 << at
            case Stage(body=inner) | Repeat(body=inner):
                return self.sequence(inner, earlier)
            case AnyOrder(body=inner):
                return sum(self.visit(one, earlier) for one in inner)
            case Lanes(lanes=lanes):
                return self.side_by_side(lanes, earlier)
            case Choose(outcomes=outcomes):
                return sum(self.sequence(outcome.body, earlier) for outcome in outcomes)
            case Meet(name=name):
                self.meetings.append((name, earlier))
                return 0
            case Hold():
                return 0

    def sequence(self, inner: Body, earlier: int) -> int:
        found = 0
        for item in inner:
            found |= self.visit(item, earlier | found)
        return found

    def side_by_side(self, lanes: tuple[Lane, ...], earlier: int) -> int:
        """Lanes, whose steps behind a meeting come after what stands before it in every lane that comes to it."""
        whole = 0
        met: list[tuple[str, int, int]] = []
        for lane in lanes:
            start = len(self.meetings)
            mask = self.sequence(lane.body, earlier)
            met += [(name, done, mask & ~done) for name, done in self.meetings[start:]]
            del self.meetings[start:]
            whole |= mask
        for name, _, later in met:
            awaited = 0
            for other, done, _ in met:
                awaited |= done if other == name else 0
            for at in range(len(self.steps)):
                if later >> at & 1:
                    self.before[at] |= awaited
                    self.bound = True
        return whole


def order_changes(
    old: Procedure,
    new: Procedure,
    ids: Mapping[str, str],
    labels: Mapping[str, str],
    critical: frozenset[str] = frozenset(),
) -> tuple[OrderChange, ...]:
    """Pairs of kept steps whose order was fixed, freed or turned. ``ids``: old to new; ``critical``: new ids."""
    one, other = precedence(old.body), precedence(new.body)
    place = {step.id: at for at, step in enumerate(other.steps)}
    kept = [(at, place[ids[step.id]]) for at, step in enumerate(one.steps) if ids.get(step.id) in place]
    numbers = {step.id: at for at, step in enumerate(other.steps, 1)}
    found: list[OrderChange] = []
    for n, (a, x) in enumerate(kept):
        for b, y in kept[n + 1 :]:
            was = _order(one, a, b)
            now = _order(other, x, y)
            turn = _TURNS.get((was, now))
            if turn is None:
                continue
            earlier = was if was else now
            pair = ((a, x), (b, y)) if earlier > 0 else ((b, y), (a, x))
            steps = [other.steps[new_at] for _, new_at in pair]
            shared = sorted(_parts(steps[0]) & _parts(steps[1]))
            found.append(
                OrderChange(
                    procedure=new.id,
                    turn=turn,
                    first=one.steps[pair[0][0]].id,
                    then=one.steps[pair[1][0]].id,
                    first_name=f"step {numbers[steps[0].id]} ({steps[0].id})",
                    then_name=f"step {numbers[steps[1].id]} ({steps[1].id})",
                    parts=tuple(labels.get(part, part) for part in shared),
                    critical=steps[0].id in critical and steps[1].id in critical,
                )
            )
    return tuple(sorted(found, key=lambda change: (not change.matters, list(Turn).index(change.turn))))


_TURNS = {
    (1, -1): Turn.REVERSED,
    (-1, 1): Turn.REVERSED,
    (1, 0): Turn.FREED,
    (-1, 0): Turn.FREED,
    (0, 1): Turn.BOUND,
    (0, -1): Turn.BOUND,
}


def _order(found: Precedence, a: int, b: int) -> int:
    return 1 if found.surely(a, b) else -1 if found.surely(b, a) else 0


def _parts(step: Step) -> set[str]:
    """What a step touches or speaks of."""
    touched = {part for action in step.do for part in action.parts}
    return touched | {run.part for run in step.say if isinstance(run, PartName)}
