"""Bounded model checking with one copy of the state per step, for the table: the obvious encoding, and no more."""

from __future__ import annotations

from typing import Any

from stepwell.orders.program import Ask, Bar, Do, Look, Program, bits
from tests.orders.boolean.instance import Instance, Literals, Rule, literals_of
from tests.orders.boolean.solver import z3


class Stepped:
    """Asks for ever longer runs until each rule is violated or the longest run was asked for."""

    def __init__(self, instance: Instance, program: Program) -> None:
        self.instance, self.program = instance, program
        self.solver = z3.Solver()
        self.facts = [self._facts(0)]
        self.settled = [self._settled(0)]
        self.solver.add(z3.Not(z3.Or(self.settled[0])))
        starts = [self._so(tuple((f, f in start) for f in instance.facts), self.facts[0]) for start in instance.starts]
        self.solver.add(z3.Or(starts))
        self.taken: list[Any] = []

    def _facts(self, moment: int) -> dict[str, Any]:
        return {name: z3.Bool(f"{name}@{moment}") for name in self.instance.facts}

    def _settled(self, moment: int) -> list[Any]:
        return [z3.Bool(f"d{index}@{moment}") for index in range(len(self.program.nodes))]

    def _so(self, literals: Literals, facts: dict[str, Any]) -> Any:
        return z3.And([facts[name] if value else z3.Not(facts[name]) for name, value in literals])

    def step(self) -> None:
        """One more move: any node that may be taken."""
        moment = len(self.facts)
        facts, settled = self.facts[-1], self.settled[-1]
        then, after = self._facts(moment), self._settled(moment)
        node = z3.Int(f"node@{moment}")
        self.taken.append(node)
        cases = []
        for index, each in enumerate(self.program.nodes):
            ready = [node == index, z3.Not(settled[index]), *(settled[need] for need in bits(self.program.needs[index]))]
            same = [then[name] == facts[name] for name in self.instance.facts]
            match each:
                case Do(actions=actions):
                    deed = self.instance.deeds[actions[0].verb]
                    ready.append(self._so(deed.needs, facts))
                    value = dict(facts)
                    for when, (name, made) in deed.effects:
                        value[name] = z3.If(self._so(when, facts), z3.BoolVal(made), value[name])
                    same = [then[name] == value[name] for name in self.instance.facts]
                    moves = [()]
                case Look(conditions=conditions) | Bar(conditions=conditions):
                    ready += [self._so(literals_of(one), facts) for one in conditions]
                    moves = [()]
                case Ask(options=options):
                    moves = [bits(option.skips) for option in options]
                case _:
                    raise ValueError("repeats and ends are not encoded")
            for skips in moves:
                settles = {index, *skips}
                becomes = [after[n] if n in settles else after[n] == settled[n] for n in range(len(after))]
                cases.append(z3.And(*ready, *same, *becomes))
        self.solver.add(z3.Or(cases))
        self.facts.append(then)
        self.settled.append(after)

    def violated(self, rule: Rule) -> Any:
        """The last move violates the rule."""
        nodes = self.program.nodes
        doing = [n for n, node in enumerate(nodes) if isinstance(node, Do)]
        match rule.moment:
            case "after":
                return z3.And(z3.Or([self.taken[-1] == n for n in doing]), self._so(rule.bad, self.facts[-1]))
            case "before":
                hits = [n for n in doing if nodes[n].actions[0].verb == rule.verb]  # type: ignore[union-attr]
                return z3.And(z3.Or([self.taken[-1] == n for n in hits]), self._so(rule.bad, self.facts[-2]))
            case _:
                return z3.And(*self.settled[-1], self._so(rule.bad, self.facts[-1]))

    def all(self) -> int:
        """How many rules are violated, over all lengths."""
        left = list(self.instance.rules)
        for _ in self.program.nodes:
            self.step()
            for rule in tuple(left):
                if self.solver.check(self.violated(rule)) == z3.sat:
                    left.remove(rule)
        return len(self.instance.rules) - len(left)
