"""How long a procedure takes by what its steps state: from the shortest to the longest way."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Hold,
    Item,
    Lanes,
    Meet,
    Procedure,
    Repeat,
    Stage,
    Step,
    steps_of,
)
from stepwell.model.quantity import Quantity
from stepwell.quantities.units import UnitMismatchError, to


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """Seconds, and how many steps state no time (they count as none)."""

    shortest: float
    longest: float
    unstated: int

    def __str__(self) -> str:
        if not self.longest:
            return "no times stated"
        span = _spoken(self.longest)
        if self.shortest != self.longest:
            span = f"{_spoken(self.shortest)} to {span}"
        steps = "1 step" if self.unstated == 1 else f"{self.unstated} steps"
        return f"{span} stated, {steps} without a time" if self.unstated else span


def times_of(procedure: Procedure) -> Times:
    """Stages add up, lanes count as their longest, a repeat runs once to its most, an answer as its shortest and longest.

    What people wait for each other at meetings of lanes is not counted.
    """
    low, high = _sequence(procedure.body)
    return Times(shortest=low, longest=high, unstated=sum(_stated(step) is None for step in steps_of(procedure.body)))


def _sequence(body: Body) -> tuple[float, float]:
    spans = [_span(item) for item in body]
    return sum(low for low, _ in spans), sum(high for _, high in spans)


def _span(item: Item) -> tuple[float, float]:
    match item:
        case Step():
            low, high = _stated(item) or (0.0, 0.0)
            return (0.0 if item.optional else low), high
        case Stage(body=body) | AnyOrder(body=body):
            return _sequence(body)
        case Repeat(body=body, at_most=most):
            low, high = _sequence(body)
            return low, high * most
        case Lanes(lanes=lanes):
            spans = [_sequence(lane.body) for lane in lanes]
            return max((low for low, _ in spans), default=0.0), max((high for _, high in spans), default=0.0)
        case Choose(outcomes=outcomes):
            spans = [_sequence(outcome.body) for outcome in outcomes]
            return min((low for low, _ in spans), default=0.0), max((high for _, high in spans), default=0.0)
        case Hold() | Meet():
            return 0.0, 0.0


def _stated(step: Step) -> tuple[float, float] | None:
    """``takes``, or else the times of the actions."""
    if step.takes is not None:
        return _seconds(step.takes[0]), _seconds(step.takes[1])
    waits = [value for action in step.do if isinstance(value := action.option("for"), Quantity)]
    total = sum(_seconds(value) for value in waits)
    return (total, total) if waits else None


def _seconds(value: Quantity) -> float:
    try:
        return to(value, "s")
    except UnitMismatchError:
        return 0.0


def _spoken(seconds: float) -> str:
    """As people say it: ``45 s``, ``2 min``, ``1 min 40 s``, ``1 h 5 min``. Tenths are told below a minute alone."""
    if seconds < 60:
        return f"{seconds:.3g} s"
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return " ".join(f"{number} {unit}" for number, unit in ((hours, "h"), (minutes, "min"), (rest, "s")) if number)
