"""Everything that looking for a mend works on: one procedure on its rig, searched once as it stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from stepwell.circuit.compile_rig import compile_rig
from stepwell.model.procedure import Body, Procedure
from stepwell.model.rig import Rig
from stepwell.model.rule import Rule
from stepwell.model.workspace import Workspace
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Problem, Program
from stepwell.orders.search import Bounds, search
from stepwell.orders.searched import Searched
from stepwell.repairs.achieved import Achieved, Noting
from stepwell.repairs.actions import Model, models_of
from stepwell.repairs.leaves import Leaf, leaves_of
from stepwell.repairs.trouble import Key, Trouble, keys_of, troubles_of
from stepwell.report.check import known_starts
from stepwell.report.world import CircuitWorld, Here
from stepwell.rules.applies import rules_for, unrecorded
from stepwell.rules.ground import instantiate

BOUNDS = Bounds(states=100_000, seconds=30.0)
"""For one search of one changed body."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One search of one body in short."""

    keys: frozenset[Key]
    complete: bool
    stuck: bool
    problems: tuple[Problem, ...]
    achieved: Achieved


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One world serves every changed body, so that what follows from an action is worked out once."""

    workspace: Workspace
    procedure: Procedure
    rig: Rig
    rules: tuple[Rule, ...]
    world: CircuitWorld
    clock: Callable[[], float]
    leaves: tuple[Leaf, ...]
    models: tuple[Model, ...]
    base: Outcome
    troubles: tuple[Trouble, ...]

    def leaf(self, name: str | None) -> Leaf | None:
        """The step, hold, question or repeat of this id."""
        return next((leaf for leaf in self.leaves if leaf.id == name), None)

    def program_of(self, body: Body) -> Program:
        """A body as a program for this world."""
        return compile_body(body, timed=self.world.counts_time)

    def searched(self, body: Body) -> Outcome:
        """What a search of all orders of a changed body finds."""
        return outcome_of(self.world, self.program_of(body), self.clock)[0]

    def as_changed(self, body: Body) -> tuple[Workspace, Procedure]:
        """The workspace with the changed body in the place of this procedure's."""
        new = replace(self.procedure, body=body)
        cards = tuple(new if one.id == new.id else one for one in self.workspace.procedures)
        return replace(self.workspace, procedures=cards), new


def scene_of(workspace: Workspace, procedure: Procedure, *, clock: Callable[[], float]) -> Scene | None:
    """The scene; None where the order can't be checked. Raises UnknownStartError where no start is known."""
    rig = next((rig for rig in workspace.rigs if rig.id == procedure.rig), None)
    if procedure.wording_only or rig is None:
        return None
    starts = known_starts(workspace, procedure, rig, clock=clock, bounds=BOUNDS)
    applying = rules_for(workspace.rules, procedure, workspace.unit)
    rules = tuple(rule for rule in applying if not unrecorded(rule, workspace.unit))
    ground = tuple(one for rule in rules for one in instantiate(rule, rig).ground)
    world = CircuitWorld(compile_rig(rig), starts, ground, procedure.ends)
    program = compile_body(procedure.body, timed=world.counts_time)
    base, result = outcome_of(world, program, clock)
    return Scene(
        workspace=workspace,
        procedure=procedure,
        rig=rig,
        rules=rules,
        world=world,
        clock=clock,
        leaves=leaves_of(procedure.body),
        models=models_of(workspace.procedures, procedure.id),
        base=base,
        troubles=troubles_of(world, program, procedure, result),
    )


def outcome_of(world: CircuitWorld, program: Program, clock: Callable[[], float]) -> tuple[Outcome, Searched[Here]]:
    """Search all orders of a program."""
    noting = Noting(world)
    result = search(program, noting, bounds=BOUNDS, clock=clock)
    found = Outcome(
        keys=keys_of(program, result),
        complete=result.complete,
        stuck=result.stuck is not None,
        problems=program.problems,
        achieved=noting.achieved(),
    )
    return found, result
