"""What a finding of a rule about time says besides trap and spring: whose time it was, and how much."""

from __future__ import annotations

from stepwell.model.rule import NeverLonger
from stepwell.report.runs import Told
from stepwell.report.world import CircuitWorld, stated_seconds
from stepwell.rules.ground import GroundRule
from stepwell.rules.shapes.never_longer import Lasting


def time_notes(world: CircuitWorld, instance: GroundRule, told: Told) -> tuple[str, ...]:
    """Sentences on the time in the last action of a run; none for rules that count no time."""
    match instance.shape:
        case NeverLonger(than=than) if told.nodes:
            before = told.states_around()[0].memory[world.rules.index(instance)]
            last = told.nodes[-1]
            spent = max(map(stated_seconds, last.actions), default=0.0)
            if isinstance(before, Lasting):
                if before.is_left(world.moment(told.states_around()[0], last)):
                    return ("Whoever brought it about goes on to something else before it is cleared.",)
                spent += before.seconds
            return (f"The times that are stated for it add up to {spent:g} s; the limit is {than}.",)
        case _:
            return ()
