"""A run of the search turned into a trace for people."""

from __future__ import annotations

from dataclasses import replace

from stepwell.diagnostics.trace import Trace, TraceLine
from stepwell.model.procedure import Procedure, Step, steps_of
from stepwell.orders.program import Do, Program
from stepwell.orders.searched import Run, replay
from stepwell.report.narrate import changes, circuit_now, does
from stepwell.report.world import CircuitWorld, Here
from stepwell.rules.evaluate import Ask


class Told:
    """One run replayed: its actions, the states around them, and what answers facts in each."""

    def __init__(self, world: CircuitWorld, program: Program, run: Run, procedure: Procedure) -> None:
        self.world = world
        self.program = program
        self.run = run
        self.steps: dict[str, Step] = {step.id: step for step in steps_of(procedure.body)}
        states = replay(program, world, run)
        self.states: tuple[Here, ...] = states
        self.nodes: list[Do] = []
        self.around: list[tuple[Here, Here]] = []
        asks: list[Ask] = [world.ask(states[0].circuit)]
        lines: list[TraceLine] = []
        for move, before, after in zip(run.moves, states[:-1], states[1:], strict=True):
            node = program.nodes[move.node]
            if not isinstance(node, Do):
                continue
            done = world.done(before.circuit, node.actions)
            step = self.steps.get(node.step)
            self.nodes.append(node)
            self.around.append((before, after))
            asks.append(world.ask(after.circuit, done.events))
            lines.append(
                TraceLine(
                    step=node.step,
                    who=node.who,
                    does=does(world.layout, node.actions),
                    changes=(f"can't be done: {done.refused}",)
                    if done.state is None
                    else changes(world.layout, before.circuit, done.state, done.events),
                    span=None if step is None else step.span,
                )
            )
        self.asks = tuple(asks)
        self.lines = tuple(lines)

    def states_around(self) -> tuple[Here, ...]:
        """The states before the last action and after it (the same one twice if there was no action)."""
        return self.around[-1] if self.around else (self.states[-1], self.states[-1])

    def trace(self, parts: tuple[str, ...], trap: int = -1, *, spring: bool = True, shortest: bool = True) -> Trace:
        """The trace with trap and spring marked; ``parts`` are those whose state is told at the end."""
        lines = list(self.lines)
        if lines and spring:
            lines[-1] = replace(lines[-1], mark="spring")
        if 0 <= trap < len(lines):
            mark = "trap and spring" if spring and trap == len(lines) - 1 else "trap"
            lines[trap] = replace(lines[trap], mark=mark)
        now = circuit_now(self.world.layout, self.states[-1].circuit, parts)
        around = tuple(here.circuit for here in self.states_around())
        return Trace(lines=tuple(lines), circuit=now, shortest=shortest, around=around, parts=parts)
