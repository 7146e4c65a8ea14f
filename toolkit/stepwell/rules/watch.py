"""One ground rule against one moment: the single place that knows which shape goes to which module."""

from __future__ import annotations

from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Never, NeverLonger, Order, Within
from stepwell.rules.evaluate import Ask
from stepwell.rules.ground import Counted, GroundRule, Matched
from stepwell.rules.moment import NEW, QUIET, Memory, Moment, Watched
from stepwell.rules.shapes import at_the_end, becomes, before_doing, enough, matched, never, never_longer, order, within


def watch(instance: GroundRule, moment: Moment, memory: Memory) -> Watched:
    """Show a rule one action; ``memory`` is what it returned last (``NEW`` at the start)."""
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
        case NeverLonger() as shape:
            return never_longer.watch(shape, instance.when, moment, memory)
        case Within() as shape:
            return within.watch(shape, instance.when, moment, memory)
        case Counted() as shape:
            return enough.watch(shape, instance.when, moment)
        case Matched() as shape:
            return matched.watch(shape, instance.when, moment)


def finish(instance: GroundRule, ask: Ask, memory: Memory = NEW) -> Watched:
    """Show a rule the state in which the card ends; ``memory`` is what it returned last."""
    match instance.shape:
        case AtTheEnd() as shape:
            return at_the_end.finish(shape, instance.when, ask)
        case Within() as shape:
            return within.finish(shape, instance.when, ask, memory)
        case Matched() as shape:
            return matched.finish(shape, instance.when, ask)
        case _:
            return QUIET
