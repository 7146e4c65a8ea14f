"""Small bodies for the tests: makers of single items, and random nested ones."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from stepwell.model.predicate import Fact, Predicate, Ref
from stepwell.model.procedure import (
    Action,
    AnyOrder,
    Body,
    Choose,
    Condition,
    Expectation,
    Hold,
    Item,
    Lane,
    Lanes,
    Meet,
    Otherwise,
    Outcome,
    Repeat,
    Sight,
    Stage,
    Step,
    Text,
)

VARIABLES = 3
VERBS = 4
WORDS = (Text("call"),)


def is_so(variable: int) -> Predicate:
    return Fact("so", (Ref(str(variable)),))


def step(
    name: str,
    verbs: str = "0",
    *,
    expect: tuple[Expectation, ...] = (),
    if_not: Otherwise | None = None,
    at_once: bool = False,
    optional: bool = False,
    after: tuple[str, ...] = (),
) -> Step:
    """A step that does one action per digit of ``verbs``."""
    do = tuple(Action(verb=verb) for verb in verbs)
    return Step(
        id=name, who="a", say=(), do=do, expect=expect, if_not=if_not, at_once=at_once, optional=optional, after=after
    )


def stage(*items: Item) -> Stage:
    return Stage(title="", body=items)


def any_order(*items: Item) -> AnyOrder:
    return AnyOrder(title="", body=items)


def lanes(*bodies: Body) -> Lanes:
    return Lanes(title="", lanes=tuple(Lane(who=str(index), body=body) for index, body in enumerate(bodies)))


def choose(name: str, *outcomes: Outcome) -> Choose:
    return Choose(id=name, question=(), who="a", outcomes=outcomes)


def outcome(*items: Item, when: Predicate | None = None, card: str | None = None, end: bool = False) -> Outcome:
    return Outcome(label="", body=items, when=when, card=card, end=end)


def repeat(name: str, until: Predicate, at_most: int, *items: Item) -> Repeat:
    return Repeat(id=name, title="", until=until, at_most=at_most, body=items)


def hold(name: str, *conditions: Predicate, abort: bool = False) -> Hold:
    until = tuple(Condition(predicate=condition) for condition in conditions)
    return Hold(id=name, title=(), until=until, agree=(), abort=WORDS if abort else ())


def actions_of(body: Body) -> int:
    """Actions in the body, each round of a repeat counted."""
    total = 0
    for item in body:
        match item:
            case Step():
                total += 1 if item.at_once and item.do else len(item.do)
            case Stage(body=inner) | AnyOrder(body=inner):
                total += actions_of(inner)
            case Repeat(body=inner, at_most=rounds):
                total += rounds * actions_of(inner)
            case Lanes(lanes=inner_lanes):
                total += sum(actions_of(lane.body) for lane in inner_lanes)
            case Choose(outcomes=outcomes):
                total += sum(actions_of(each.body) for each in outcomes)
            case Hold() | Meet():
                pass
    return total


def has_meeting(item: Item) -> bool:
    """True for a meeting and for a stage in which one stands."""
    return isinstance(item, Meet) or (isinstance(item, Stage) and any(map(has_meeting, item.body)))


class Maker:
    """Bodies of at most ``size`` items without an inner body. ``plain``: no decision. ``pick(n)``: a number below n.

    ``meets``: lanes have meetings, which never cross, though an ``after`` may still run against them.
    """

    def __init__(self, pick: Callable[[int], int], size: int, *, plain: bool = False, meets: bool = False) -> None:
        self.meets = meets
        self.pick = pick
        self.left = size
        self.plain = plain
        self.names = 0
        self.steps: list[str] = []

    def name(self) -> str:
        self.names += 1
        return f"n{self.names}"

    def chance(self, percent: int) -> bool:
        return self.pick(100) >= 100 - percent

    def predicate(self) -> Predicate:
        return is_so(self.pick(VARIABLES))

    def body(self, depth: int, most: int = 3) -> Body:
        items: list[Item] = []
        for _ in range(1 + self.pick(most)):
            if self.left > 0:
                items.append(self.item(depth))
        return tuple(items)

    def item(self, depth: int) -> Item:
        kinds = ["step"] * 3 + (["hold"] if depth < 3 else [])
        if depth:
            kinds += ["stage", "any-order", "any-order", "lanes", "lanes"]
            kinds += [] if self.plain else ["choose", "choose", "repeat"]
        match kinds[self.pick(len(kinds))]:
            case "stage":
                return stage(*self.body(depth - 1))
            case "any-order":
                return any_order(*self.body(depth - 1))
            case "lanes":
                return self.lanes(depth)
            case "choose":
                return choose(self.name(), *(self.outcome(depth - 1) for _ in range(1 + self.pick(3))))
            case "repeat":
                return repeat(self.name(), self.predicate(), 1 + self.pick(2), *self.body(depth - 1, 2))
            case "hold":
                self.left -= 1
                conditions = tuple(self.predicate() for _ in range(self.pick(3)))
                return hold(self.name(), *conditions, abort=not self.plain and self.chance(30))
        return self.step()

    def lanes(self, depth: int) -> Item:
        if not self.meets:
            return lanes(*(self.body(depth - 1) for _ in range(2)))
        names = [self.name() for _ in range(self.pick(3))]
        bodies = [self.body(depth - 1) for _ in range(2 + self.pick(2))]
        for name in reversed(names):
            there = [number for number in range(len(bodies)) if self.chance(75)]
            for number in there if len(there) > 1 else ():
                bodies[number] = self.with_meeting(bodies[number], name)
        return lanes(*bodies)

    def with_meeting(self, body: Body, name: str) -> Body:
        """The body with a meeting put in before any that it has, directly or in a stage."""
        first = next((at for at, item in enumerate(body) if has_meeting(item)), len(body))
        at = self.pick(first + 1)
        if at < len(body) and isinstance(inner := body[at], Stage) and self.chance(60):
            return (*body[:at], replace(inner, body=self.with_meeting(inner.body, name)), *body[at + 1 :])
        return (*body[:at], Meet(name=name), *body[at:])

    def outcome(self, depth: int) -> Outcome:
        made = outcome(*(self.body(depth, 2) if self.chance(70) else ()))
        if self.chance(40):
            made = replace(made, when=self.predicate())
        if self.chance(25):
            made = replace(made, end=True) if self.chance(50) else replace(made, card="other")
        return made

    def step(self) -> Step:
        self.left -= 1
        name = self.name()
        verbs = "".join(str(self.pick(VERBS)) for _ in range((1, 1, 1, 0, 2)[self.pick(5)]))
        expect: list[Expectation] = []
        while self.chance(30):
            expect.append(Condition(predicate=self.predicate()) if self.chance(70) else Sight(words=WORDS))
        after = (self.steps[self.pick(len(self.steps))],) if self.steps and self.chance(25) else ()
        self.steps.append(name)
        return step(
            name,
            verbs,
            expect=tuple(expect),
            if_not=Otherwise(words=WORDS) if expect and not self.plain and self.chance(30) else None,
            at_once=self.chance(20),
            optional=not self.plain and self.chance(20),
            after=after,
        )
