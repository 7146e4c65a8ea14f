"""The circuit step by step in the order of the page, for the step-through page."""

from __future__ import annotations

from stepwell.orders.program import Do, Program
from stepwell.report.narrate import changes
from stepwell.report.results import StepPicture
from stepwell.report.world import CircuitWorld


def pictures_of(world: CircuitWorld, program: Program) -> tuple[StepPicture, ...]:
    """What each step changes if everything is done in the order of the page; stops at an action that can't be done."""
    if not world.starts():
        return ()
    state = world.starts()[0].circuit
    told: dict[str, list[str]] = {}
    for node in program.nodes:
        if not isinstance(node, Do):
            continue
        done = world.done(state, node.actions)
        if done.state is None:
            told.setdefault(node.step, []).append(f"can't be done: {done.refused}")
            break
        told.setdefault(node.step, []).extend(changes(world.layout, state, done.state, done.events))
        state = done.state
    return tuple(StepPicture(step=step, changes=tuple(dict.fromkeys(lines))) for step, lines in told.items())
