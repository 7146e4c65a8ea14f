"""The same questions to an SMT solver: one integer position per node, the last one to set a fact decides its value.

A run is a set of nodes that is closed downward, with different positions. No search of ours is involved: the order is
that of the compiled program, and what actions do, need and violate is read from the instance. Only for programs whose
decisions have no guards.
"""

from __future__ import annotations

from typing import Any

from stepwell.orders.program import Ask, Bar, Do, Look, Program, bits

from .instance import Instance, Literals, Rule, literals_of

try:
    import z3
except ImportError:  # pragma: no cover - an extra of the tests
    z3 = None

MISSING = "z3-solver is not installed"


class Positions:
    """``run``: node is in the run; ``at``: its position; ``skipped``: a decision left it out; ``was``: facts before it."""

    def __init__(self, instance: Instance, program: Program) -> None:
        assert all(len(node.actions) == 1 for node in program.nodes if isinstance(node, Do))
        self.instance, self.program = instance, program
        count = len(program.nodes)
        self.solver = z3.Solver()
        self.at = [z3.Int(f"at{n}") for n in range(count)]
        self.run = [z3.Bool(f"run{n}") for n in range(count)]
        self.answer = {n: z3.Int(f"answer{n}") for n, node in enumerate(program.nodes) if isinstance(node, Ask)}
        self.start = {name: z3.Bool(f"start_{name}") for name in instance.facts}
        self.before = [{name: z3.Bool(f"b{n}_{name}") for name in instance.facts} for n in range(count)]
        self.end = {name: z3.Bool(f"end_{name}") for name in instance.facts}
        self.skipped = [self._skipped(n) for n in range(count)]
        self.did = [z3.Bool(f"did{n}") for n in range(count)]
        self._order()
        self._values()

    def so(self, literals: Literals, facts: dict[str, Any]) -> Any:
        return z3.And([facts[name] if value else z3.Not(facts[name]) for name, value in literals])

    def _skipped(self, index: int) -> Any:
        return z3.Or(
            [
                z3.And(self.run[n], self.answer[n] == number)
                for n, node in enumerate(self.program.nodes)
                if isinstance(node, Ask)
                for number, option in enumerate(node.options)
                if option.skips >> index & 1
            ]
        )

    def _order(self) -> None:
        add, program = self.solver.add, self.program
        count = len(program.nodes)
        for index, needs in enumerate(program.needs):
            add(self.at[index] >= 0, self.at[index] < count)
            add(z3.Implies(self.run[index], z3.Not(self.skipped[index])))
            for need in bits(needs):
                late = z3.And(self.run[need], self.at[need] < self.at[index])
                add(z3.Implies(self.run[index], z3.Or(late, self._skipped_before(need, index))))
        add(z3.Distinct(self.at))
        for index, answer in self.answer.items():
            node = program.nodes[index]
            assert isinstance(node, Ask)
            add(answer >= 0, answer < len(node.options))

    def _skipped_before(self, index: int, moment: int) -> Any:
        return z3.Or(
            [
                z3.And(self.run[n], self.answer[n] == number, self.at[n] < self.at[moment])
                for n, node in enumerate(self.program.nodes)
                if isinstance(node, Ask)
                for number, option in enumerate(node.options)
                if option.skips >> index & 1
            ]
        )

    def _sets(self, index: int, name: str, value: bool) -> Any:
        """The node's action was done and left the fact so (its last effect on the fact decides)."""
        node = self.program.nodes[index]
        assert isinstance(node, Do)
        effects = self.instance.deeds[node.actions[0].verb].effects
        cases, later = [], []
        for when, (fact, made) in reversed(effects):
            if fact == name:
                here = self.so(when, self.before[index])
                if made is value:
                    cases.append(z3.And(here, *[z3.Not(each) for each in later]))
                later.append(here)
        return z3.And(self.did[index], z3.Or(cases))

    def _touching(self, name: str) -> list[int]:
        return [
            n
            for n, node in enumerate(self.program.nodes)
            if isinstance(node, Do)
            and any(fact == name for _, (fact, _) in self.instance.deeds[node.actions[0].verb].effects)
        ]

    def _needed(self, index: int) -> set[str]:
        """The facts whose value before this node matters to anything."""
        node = self.program.nodes[index]
        if isinstance(node, Look | Bar):
            return {name for predicate in node.conditions for name, _ in literals_of(predicate)}
        if not isinstance(node, Do):
            return set()
        verb = node.actions[0].verb
        deed = self.instance.deeds[verb]
        found = {name for name, _ in deed.needs} | {name for when, _ in deed.effects for name, _ in when}
        return found | {
            name for rule in self.instance.rules if rule.moment == "before" and rule.verb == verb for name, _ in rule.bad
        }

    def _values(self) -> None:
        add, instance = self.solver.add, self.instance
        add(z3.Or([self.so(tuple((f, f in start) for f in instance.facts), self.start) for start in instance.starts]))
        touching = {name: self._touching(name) for name in instance.facts}
        for index, node in enumerate(self.program.nodes):
            for name in sorted(self._needed(index)):
                others = [(n, self.at[n] < self.at[index]) for n in touching[name] if n != index]
                add(z3.Implies(self.run[index], self._last(name, self.before[index][name], others)))
            if isinstance(node, Do):
                can = self.so(instance.deeds[node.actions[0].verb].needs, self.before[index])
                add(self.did[index] == z3.And(self.run[index], can))
                # A refused action ends the run: nothing comes after it.
                later = [z3.Implies(self.run[n], self.at[n] <= self.at[index]) for n in range(len(self.at))]
                add(z3.Implies(z3.And(self.run[index], z3.Not(can)), z3.And(later)))
            elif isinstance(node, Look | Bar):
                for predicate in node.conditions:
                    add(z3.Implies(self.run[index], self.so(literals_of(predicate), self.before[index])))
        for name in sorted({name for rule in instance.rules for name, _ in rule.bad}):
            add(self._last(name, self.end[name], [(n, z3.BoolVal(True)) for n in touching[name]]))

    def _last(self, name: str, value: Any, others: list[tuple[int, Any]]) -> Any:
        """``value`` is what the last of the others that changed the fact left, or what it was at the start."""
        set_yes = {n: z3.And(earlier, self._sets(n, name, True)) for n, earlier in others}
        set_no = {n: z3.And(earlier, self._sets(n, name, False)) for n, earlier in others}
        cases = []
        for n, _ in others:
            for made, sets in ((True, set_yes), (False, set_no)):
                last = [z3.Implies(z3.Or(set_yes[m], set_no[m]), self.at[m] < self.at[n]) for m, _ in others if m != n]
                cases.append(z3.And(sets[n], *last, value == made))
        none = z3.And([z3.Not(z3.Or(set_yes[n], set_no[n])) for n, _ in others])
        return z3.Or(*cases, z3.And(none, value == self.start[name]))

    def violated(self, rule: Rule) -> Any:
        nodes = self.program.nodes
        doing = [n for n, node in enumerate(nodes) if isinstance(node, Do)]
        match rule.moment:
            case "before":
                hits = [n for n in doing if nodes[n].actions[0].verb == rule.verb]  # type: ignore[union-attr]
                return z3.Or([z3.And(self.run[n], self.so(rule.bad, self.before[n])) for n in hits])
            case "after":
                # The whole run is what came before and including the action: its end is the state after it.
                return z3.And(z3.Or([self.did[n] for n in doing]), self._all_did(doing), self.so(rule.bad, self.end))
            case _:
                settled = [z3.Or(self.run[n], self.skipped[n]) for n in range(len(nodes))]
                return z3.And(*settled, self._all_did(doing), self.so(rule.bad, self.end))

    def _all_did(self, doing: list[int]) -> Any:
        return z3.And([z3.Implies(self.run[n], self.did[n]) for n in doing])

    def shortest(self, rule: Rule, seconds: float = 60.0) -> int | None:
        """The length of the shortest run that violates the rule; None if there is none. TimeoutError if undecided."""
        doing = [n for n, node in enumerate(self.program.nodes) if isinstance(node, Do)]
        length = z3.Sum([z3.If(self.run[n], 1, 0) for n in doing])
        self.solver.push()
        self.solver.set("timeout", int(seconds * 1000))
        self.solver.add(self.violated(rule))
        best: int | None = None
        while True:
            result = self.solver.check()
            if result == z3.unknown:
                self.solver.pop()
                raise TimeoutError
            if result == z3.unsat:
                break
            best = self.solver.model().eval(length, model_completion=True).as_long()
            self.solver.add(length < best)
        self.solver.pop()
        return best
