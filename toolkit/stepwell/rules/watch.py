"""One ground rule against one moment: the single place that knows which shape goes to which module."""

from __future__ import annotations

from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Never, Order
from stepwell.rules.evaluate import Ask
from stepwell.rules.ground import GroundRule
from stepwell.rules.moment import QUIET, Moment, Watched
from stepwell.rules.shapes import at_the_end, becomes, before_doing, never, order


def watch(instance: GroundRule, moment: Moment, memory: int) -> Watched:
    """Show a rule one action; ``memory`` is what it returned last (0 at the start)."""
    match instance.shape:
        case Never() as shape:
            return never.watch(shape, instance.when, moment)
        case Becomes() as shape:
            return becomes.watch(shape, instance.when, moment)
        case BeforeDoing() as shape:
            return before_doing.watch(shape, instance.when, moment)
        case AtTheEnd() as shape:
            return at_the_end.watch(shape, instance.when, moment)
        case Order() as shape:
            return order.watch(shape, instance.when, moment, memory)


def finish(instance: GroundRule, ask: Ask) -> Watched:
    """Show a rule the state in which the card ends."""
    match instance.shape:
        case AtTheEnd() as shape:
            return at_the_end.finish(shape, instance.when, ask)
        case _:
            return QUIET
