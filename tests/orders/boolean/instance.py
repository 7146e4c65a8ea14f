"""Random procedures over a world of true and false facts: what is done, what it needs and changes, what is a hazard."""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random

from stepwell.model.predicate import AllOf, Fact, Not, Predicate, Ref
from stepwell.model.procedure import (
    Action,
    AnyOrder,
    Body,
    Choose,
    Condition,
    Hold,
    Item,
    Lane,
    Lanes,
    Outcome,
    Repeat,
    Step,
)

Literals = tuple[tuple[str, bool], ...]
"""A conjunction: each fact with the value it must have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """An action: refused unless ``needs``; then every effect whose condition was so before takes place, in order."""

    needs: Literals
    effects: tuple[tuple[Literals, tuple[str, bool]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """``moment``: ``after`` (never so after an action), ``before`` (not so where ``verb`` is begun), ``end``."""

    name: str
    moment: str
    verb: str
    bad: Literals


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """One procedure with its world."""

    facts: tuple[str, ...]
    starts: tuple[frozenset[str], ...]
    deeds: dict[str, Deed]
    rules: tuple[Rule, ...]
    body: Body


def condition(literals: Literals) -> Predicate:
    """The conjunction as a predicate of a procedure."""
    atoms = ((Fact("so", (Ref(name),)), value) for name, value in literals)
    return AllOf(tuple(atom if value else Not(atom) for atom, value in atoms))


def literals_of(predicate: Predicate) -> Literals:
    """The conjunction again."""
    match predicate:
        case AllOf(bodies=bodies):
            return tuple(each for body in bodies for each in literals_of(body))
        case Not(body=Fact(args=args)):
            return ((args[0].name, False),)
        case Fact(args=args):
            return ((args[0].name, True),)
    raise AssertionError(predicate)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How large, and with what in it (chances in percent)."""

    actions: int = 6
    facts: int = 4
    rules: int = 4
    depth: int = 3
    width: int = 3
    items: int = 3
    guards: int = 20
    conditional: int = 30
    holds: int = 15
    decisions: bool = True
    asks: bool = True
    """Questions with guarded outcomes, and repeats."""
    starts: int = 2


SMALL = Shape()
LARGE = Shape(actions=22, facts=8, rules=6, depth=3, width=3, items=8, guards=10, holds=6, asks=False, starts=1)


class Maker:
    """Makes one instance of a shape."""

    def __init__(self, random: Random, shape: Shape) -> None:
        self.random, self.shape = random, shape
        self.facts = tuple(f"f{n}" for n in range(shape.facts))
        self.deeds: dict[str, Deed] = {}
        self.names = 0
        self.steps: list[str] = []

    def chance(self, percent: int) -> bool:
        return self.random.randrange(100) < percent

    def literals(self, most: int) -> Literals:
        chosen = self.random.sample(self.facts, self.random.randint(1, most))
        return tuple((name, self.random.random() < 0.5) for name in chosen)

    def instance(self) -> Instance:
        top: Item = self.lanes(self.shape.depth - 1) if self.chance(50) else self.any_order(self.shape.depth - 1)
        body: Body = (top,)
        while len(self.deeds) < self.shape.actions // 2:
            body = (*body, *self.sequence(self.shape.depth))
        starts = tuple(
            frozenset(name for name in self.facts if self.chance(40))
            for _ in range(self.random.randint(1, self.shape.starts))
        )
        verbs = list(self.deeds)
        rules = tuple(
            Rule(
                name=f"r{n}",
                moment=self.random.choice(("after", "after", "before", "end")),
                verb=self.random.choice(verbs),
                bad=self.literals(3),
            )
            for n in range(self.shape.rules)
        )
        return Instance(facts=self.facts, starts=starts, deeds=self.deeds, rules=rules, body=body)

    def name(self) -> str:
        self.names += 1
        return f"n{self.names}"

    def verb(self) -> Action:
        """An action of its own kind, now and then one that was there before."""
        if self.deeds and self.chance(15):
            return Action(verb=self.random.choice(list(self.deeds)))
        verb = f"v{len(self.deeds)}"
        self.deeds[verb] = Deed(
            needs=self.literals(2) if self.chance(self.shape.guards) else (),
            effects=tuple(self.effect() for _ in range(self.random.choice((0, 1, 1, 1, 2)))),
        )
        return Action(verb=verb)

    def effect(self) -> tuple[Literals, tuple[str, bool]]:
        when = self.literals(2) if self.chance(self.shape.conditional) else ()
        return when, (self.random.choice(self.facts), self.random.random() < 0.5)

    def sequence(self, depth: int) -> Body:
        items: list[Item] = []
        for _ in range(self.random.randint(1, self.shape.items)):
            if len(self.deeds) < self.shape.actions:
                items.append(self.item(depth))
        return tuple(items)

    def item(self, depth: int) -> Item:
        if depth and self.chance(35):
            kinds = ["any-order", "lanes"]
            if self.shape.decisions:
                kinds += ["choose"]
            if self.shape.asks:
                kinds += ["repeat"]
            match self.random.choice(kinds):
                case "any-order":
                    return self.any_order(depth - 1)
                case "lanes":
                    return self.lanes(depth - 1)
                case "choose":
                    return self.choose(depth - 1)
                case "repeat":
                    until = condition(self.literals(1))
                    body = self.sequence(depth - 1)
                    return Repeat(id=self.name(), title="", until=until, at_most=self.random.randint(1, 2), body=body)
        if self.chance(self.shape.holds):
            waits = (Condition(predicate=condition(self.literals(1))),)
            return Hold(id=self.name(), title=(), until=waits, agree=(), abort=())
        return self.step()

    def any_order(self, depth: int) -> AnyOrder:
        return AnyOrder(title="", body=tuple(self.item(depth) for _ in range(self.random.randint(2, self.shape.width))))

    def lanes(self, depth: int) -> Lanes:
        width = self.random.randint(2, self.shape.width)
        return Lanes(title="", lanes=tuple(Lane(who=str(n), body=self.sequence(depth)) for n in range(width)))

    def choose(self, depth: int) -> Choose:
        outcomes = []
        for _ in range(self.random.randint(2, 3)):
            made = Outcome(label="", body=self.sequence(depth) if self.chance(70) else ())
            if self.shape.asks and self.chance(40):
                made = replace(made, when=condition(self.literals(1)))
            if self.shape.asks and self.chance(15):
                made = replace(made, end=True)
            outcomes.append(made)
        return Choose(id=self.name(), question=(), who="a", outcomes=tuple(outcomes))

    def step(self) -> Step:
        do = tuple(self.verb() for _ in range(self.random.choice((1, 1, 1, 2))))
        after = (self.random.choice(self.steps),) if self.steps and self.chance(25) else ()
        name = self.name()
        made = Step(
            id=name,
            who="a",
            say=(),
            do=do,
            after=after,
            at_once=len(do) > 1 and self.chance(30),
            optional=self.shape.decisions and self.chance(20),
        )
        self.steps.append(name)
        return made


def made(seed: int, shape: Shape = SMALL) -> Instance:
    """The instance of a seed."""
    return Maker(Random(seed), shape).instance()
