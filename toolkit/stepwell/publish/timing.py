"""How long the steps take by what is stated: the times that a page counts along with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from stepwell.model.procedure import Procedure, Step, steps_of
from stepwell.quantities.units import to
from stepwell.report.world import stated_seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """Whole seconds: ``most`` is the longest time that the step is said to take, ``wait`` what it says to wait for. 0 where
    nothing is said."""

    most: int
    wait: int


def timings(procedure: Procedure) -> Mapping[str, Timing]:
    """The times by step, for the steps that state one. The waits of a step add up, unless they are done at once."""
    found = {step.id: Timing(most=_most(step), wait=_wait(step)) for step in steps_of(procedure.body)}
    return {name: timing for name, timing in found.items() if timing.most or timing.wait}


def _most(step: Step) -> int:
    return round(to(step.takes[1], "s")) if step.takes else 0


def _wait(step: Step) -> int:
    waits = [stated_seconds(action) for action in step.do]
    return round(max(waits, default=0.0) if step.at_once else sum(waits))
