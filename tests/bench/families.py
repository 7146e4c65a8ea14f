"""The families of procedures on which the ways of searching are set side by side.

W k x n: lanes of n steps without order between them; rules join the facts of two lanes. D k x n: lanes that share clamps
and taps, with groups in any order, optional steps and an air path that is derived from what is open. R n: a random partial
order over a random circuit. G n: the same with a quarter of the actions guarded. E: stages of three lanes each with bars
between, 71 steps and 45 rules, as a long real procedure has them. In all of them the rules are chosen so that no order
violates them (``safe``) or so that one does.
"""

from __future__ import annotations

from random import Random

from stepwell.model.procedure import Action, AnyOrder, Body, Condition, Hold, Item, Lane, Lanes, Step
from tests.orders.boolean.instance import Deed, Instance, Literals, Rule, condition


class Writer:
    """Collects deeds while a body is written; every step is one action of its own."""

    def __init__(self) -> None:
        self.deeds: dict[str, Deed] = {}

    def step(
        self,
        name: str,
        *changes: tuple[str, bool],
        when: Literals = (),
        needs: Literals = (),
        after: tuple[str, ...] = (),
        optional: bool = False,
        derived: tuple[tuple[Literals, tuple[str, bool]], ...] = (),
    ) -> Step:
        effects = (*((when, change) for change in changes), *derived)
        self.deeds[name] = Deed(needs=needs, effects=effects)
        return Step(id=name, who="a", say=(), do=(Action(verb=name),), after=after, optional=optional)

    def instance(self, body: Body, rules: tuple[Rule, ...], starts: tuple[frozenset[str], ...] = (frozenset(),)) -> Instance:
        named = {name for deed in self.deeds.values() for _, (name, _) in deed.effects}
        named |= {name for deed in self.deeds.values() for name, _ in deed.needs}
        named |= {name for rule in rules for name, _ in rule.bad}
        return Instance(facts=tuple(sorted(named)), starts=starts, deeds=self.deeds, rules=rules, body=body)


def lanes(*bodies: tuple[Item, ...]) -> Lanes:
    return Lanes(title="", lanes=tuple(Lane(who=str(number), body=body) for number, body in enumerate(bodies)))


def never(name: str, *bad: tuple[str, bool]) -> Rule:
    return Rule(name=name, moment="after", verb="", bad=bad)


def before(name: str, verb: str, *bad: tuple[str, bool]) -> Rule:
    return Rule(name=name, moment="before", verb=verb, bad=bad)


def w(width: int, length: int, *, safe: bool = True) -> Instance:
    """In each lane x is cleared before y is set, and the other way about; a rule wants x and y and the next lane's x."""
    writer = Writer()
    made = []
    for lane in range(width):
        turns = (("x", True), ("x", False), ("y", True), ("y", False))
        steps = (writer.step(f"l{lane}.{n}", (f"{turns[n % 4][0]}{lane}", turns[n % 4][1])) for n in range(length))
        made.append(tuple(steps))
    rules = []
    for lane in range(width):
        other = (lane + 1) % width
        rules.append(never(f"never-{lane}", (f"x{lane}", True), (f"y{lane}", True), (f"x{other}", True)))
        rules.append(before(f"before-{lane}", f"l{lane}.{length - 1}", (f"x{lane}", True), (f"y{other}", True)))
    if not safe:
        rules.append(never("violated", *((f"x{lane}", True) for lane in range(width))))
    return writer.instance((lanes(*made),), tuple(rules))


def d(width: int, length: int, *, safe: bool = True) -> Instance:
    """Air enters where a tap and the clamp beside it are open at once, which only a lane in the wrong order lets happen."""
    writer = Writer()
    made = []
    for lane in range(width):
        steps: list[Item] = []
        derived = ((((f"tap{lane}", True), (f"clamp{lane}", True)), (f"air{lane}", True)),)
        for n in range(0, length, 4):
            name, opens = f"l{lane}.{n}", n % 8 == 0
            clamp = writer.step(name, (f"clamp{lane}", opens), derived=derived)
            group = AnyOrder(
                title="",
                body=(
                    writer.step(f"{name}a", (f"tap{lane}", not opens), derived=derived),
                    writer.step(f"{name}b", (f"shared{(lane + n // 4) % width}", opens)),
                ),
            )
            right = (group, clamp) if opens else (clamp, group)
            steps += right if safe or lane else reversed(right)
            steps.append(writer.step(f"{name}c", (f"wet{lane}", opens), optional=not opens))
        made.append(tuple(steps))
    rules = []
    for lane in range(width):
        other = (lane + 1) % width
        rules.append(never(f"air-{lane}", (f"air{lane}", True), (f"wet{other}", True)))
        rules.append(never(f"both-{lane}", (f"tap{lane}", True), (f"clamp{lane}", True), (f"shared{lane}", True)))
    return writer.instance((lanes(*made),), tuple(rules))


def r(size: int, *, guards: int = 0, seed: int = 1) -> Instance:
    """Steps in a random order relation over switches that open a path; some effects depend on the path."""
    random = Random(seed)
    writer = Writer()
    switches = [f"s{n}" for n in range(size // 4)]
    steps: list[Item] = []
    for n in range(size):
        switch = random.choice(switches)
        after = tuple(f"n{m}" for m in random.sample(range(max(0, n - 12), n), min(n, random.choice((0, 1, 1, 2)))))
        needs: Literals = ((random.choice(switches), random.random() < 0.5),) if random.randrange(100) < guards else ()
        path: Literals = tuple((one, True) for one in random.sample(switches, 2))
        derived = ((path, (f"wet{random.randrange(4)}", True)),) if random.random() < 0.3 else ()
        steps.append(writer.step(f"n{n}", (switch, random.random() < 0.6), needs=needs, after=after, derived=derived))
    rules = []
    for n in range(12):
        chosen = random.sample(switches, 3)
        rules.append(never(f"never-{n}", *((one, random.random() < 0.7) for one in chosen)))
        rules.append(before(f"before-{n}", f"n{random.randrange(size)}", *((one, True) for one in chosen[:2])))
    rules.append(never("dry", *((f"wet{n}", True) for n in range(4)), (switches[0], True)))
    return writer.instance((AnyOrder(title="", body=tuple(steps)),), tuple(rules))


def e() -> Instance:
    """71 steps: five stages of three lanes, each lane opening, using and shutting what is its own; bars between."""
    writer = Writer()
    body: list[Item] = []
    rules: list[Rule] = []
    for stage in range(5):
        made = []
        for lane in range(3):
            mine, other = f"{stage}.{lane}", f"{stage}.{(lane + 1) % 3}"
            made.append(
                (
                    writer.step(f"open{mine}", (f"open{mine}", True)),
                    writer.step(f"use{mine}", (f"wet{mine}", True), when=((f"open{mine}", True),)),
                    AnyOrder(
                        title="",
                        body=(
                            writer.step(f"zero{mine}", (f"zeroed{mine}", True)),
                            writer.step(f"see{mine}", optional=stage % 2 == 0),
                        ),
                    ),
                    *((writer.step(f"shut{mine}", (f"open{mine}", False)),) if stage or lane else ()),
                )
            )
            rules.append(before(f"zeroed-dry-{mine}", f"zero{mine}", (f"wet{mine}", False)))
            rules.append(before(f"used-shut-{mine}", f"use{mine}", (f"open{mine}", False), (f"open{other}", False)))
            rules.append(
                never(f"open-late-{mine}", (f"open{mine}", True), (f"ready{stage}", True), (f"zeroed{other}", True))
            )
        body.append(lanes(*made))
        ready = condition(tuple((f"zeroed{stage}.{lane}", True) for lane in range(3)))
        body.append(Hold(id=f"h{stage}", title=(), until=(Condition(predicate=ready),), agree=(), abort=()))
        body.append(writer.step(f"call{stage}", (f"ready{stage}", bool(stage))))
    for n in range(71 - len(writer.deeds)):
        body.append(writer.step(f"last{n}", (f"last{n}", True)))
    return writer.instance(tuple(body), tuple(rules[:45]))


def g(size: int) -> Instance:
    """R with a quarter of the actions guarded."""
    return r(size, guards=25)
