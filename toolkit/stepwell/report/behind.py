"""What lies behind a look or a hold that fails: the hazards that would be met if people went on all the same.

A hold that is not met stops the run, so the rules behind it are never broken in a permitted order. What it keeps from the
patient decides how bad it is that it is not met.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from typing import NamedTuple

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Body, Hold, Item, Procedure, Step
from stepwell.model.rule import Rule
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Bar, Look, Program
from stepwell.orders.search import Bounds, search
from stepwell.orders.searched import Failed, Searched
from stepwell.report.world import CircuitWorld, Here
from stepwell.rules.words_and_actions import NAME

TRAP = "The trap: "
"""How a finding begins to tell the step that set it up."""
ROUNDS = 4
"""So many looks, one after another, people are taken to pass over."""
MOST = 8
"""So many failing looks of one card are followed up."""


class Met(NamedTuple):
    """A rule that is broken behind it, and the step at which; None: at the end of the card."""

    rule: Rule
    step: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """Looks behind what fails in one procedure. ``make_world`` gives a fresh world with its rules."""

    procedure: Procedure
    rules: dict[str, Rule]
    make_world: Callable[[], CircuitWorld]
    bounds: Bounds
    clock: Callable[[], float]

    def all_of(self, program: Program, result: Searched[Here]) -> dict[str, Met]:
        """For each look or hold that fails, by its name, the worst that is met behind it and nowhere else."""
        known = {violation.rule for violation in result.violated}
        names = dict.fromkeys(name for item in (*result.blocked, *result.aborted) if (name := failing(program, item)))
        found = ((name, self._met(name, known)) for name in list(names)[:MOST])
        return {name: met for name, met in found if met is not None}

    def _met(self, name: str, known: set[str]) -> Met | None:
        passed = {name}
        for _ in range(ROUNDS):
            program = compile_body(passing(self.procedure.body, frozenset(passed)))
            result = search(program, self.make_world(), bounds=self.bounds, clock=self.clock)
            new = [one for one in result.violated if one.rule in self.rules and one.rule not in known]
            if new:
                worst = max(new, key=lambda one: self.rules[one.rule].severity)
                return Met(self.rules[worst.rule], None if worst.at_end else program.nodes[worst.run.moves[-1].node].name)
            more = {other for item in (*result.blocked, *result.aborted) if (other := failing(program, item))} - passed
            if not more:
                return None
            passed |= more
        return None


def failing(program: Program, item: Failed) -> str:
    """The step or hold whose own condition fails; empty for a question, a repeat, a reading or a sight."""
    node = program.nodes[item.node]
    if isinstance(node, Look):
        return node.name if 0 < item.option <= len(node.conditions) else ""
    return node.name if isinstance(node, Bar) else ""


def passing(body: Body, names: frozenset[str]) -> Body:
    """The body in which the steps and holds of these names ask for nothing."""

    def pass_over(leaf: Step | Hold) -> Item:
        if leaf.id not in names:
            return leaf
        return replace(leaf, expect=(), if_not=None) if isinstance(leaf, Step) else replace(leaf, until=())

    return each_leaf(body, pass_over)


def as_bad_as_its_trap(findings: Collection[Finding]) -> list[Finding]:
    """The findings, with words that disagree with an action as bad as what that action sets up.

    The disagreement is then told before its consequence, which stands further down the page.
    """
    worst: dict[str, Severity] = {}
    for finding in findings:
        for note in finding.related:
            if note.step is not None and note.message.startswith(TRAP):
                worst[note.step] = max(finding.severity, worst.get(note.step, finding.severity))
    return [
        replace(one, severity=max(one.severity, worst.get(one.step or "", one.severity))) if one.rule == NAME else one
        for one in findings
    ]
