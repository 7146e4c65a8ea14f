"""The ways on from a node that is no action: what is seen, what is answered, and what fails."""

from __future__ import annotations

from typing import Generic, NamedTuple, TypeVar

from stepwell.model.predicate import Predicate
from stepwell.model.tri import Tri
from stepwell.orders.program import Ask, Bar, Do, End, Look, Loop, Node
from stepwell.orders.world import S, World

T = TypeVar("T")


class Way(NamedTuple, Generic[T]):
    """The run goes on: the option taken, how true it was seen to be, and what is known of the state then."""

    option: int
    truth: Tri
    state: T


class Failure(NamedTuple):
    """The run does not go on. ``truth``: of what was not (surely) so. ``patient``: only where nobody else can act."""

    option: int
    truth: Tri
    patient: bool
    abort: bool


class Branches(NamedTuple, Generic[T]):
    """All ways on, and all failures."""

    ways: tuple[Way[T], ...]
    failures: tuple[Failure, ...]


def branches(world: World[S], node: Node, state: S) -> Branches[S]:
    """The ways on from a ready node that is neither an action nor an end.

    Options: of a question its own, and one more if no outcome applies; of a look 0 if all is so, 1 + k if condition k
    is not so (or a reading or sight, for k = their number); of a loop 0 to leave and 1 to go on or run out.
    """
    match node:
        case Look():
            return _looked(world, node, state)
        case Bar(conditions=conditions, abort=abort):
            ways, missed = _seen(world, conditions, state)
            return Branches(ways, tuple(Failure(way.option, way.truth, True, bool(abort)) for way in missed))
        case Ask():
            return _asked(world, node, state)
        case Loop():
            return _round(world, node, state)
        case Do() | End():
            raise TypeError("an action or an end has no branches")


def _seen(world: World[S], conditions: tuple[Predicate, ...], state: S) -> tuple[tuple[Way[S], ...], tuple[Way[S], ...]]:
    """(passed, missed): conditions are looked at in order; each that may be so is taken both ways."""
    missed: list[Way[S]] = []
    surely = Tri.YES
    for index, condition in enumerate(conditions):
        truth, state_if_so = world.observe(state, condition)
        if truth is not Tri.YES:
            missed.append(Way(1 + index, truth, state))
        if truth is Tri.NO:
            return (), tuple(missed)
        surely = min(surely, truth)
        state = state_if_so
    return (Way(0, surely, state),), tuple(missed)


def _looked(world: World[S], look: Look, state: S) -> Branches[S]:
    ways, missed = _seen(world, look.conditions, state)
    if look.jump is not None:
        if len(look.conditions) < len(look.expects) and ways:
            missed = (*missed, Way(1 + len(look.conditions), Tri.MAYBE, ways[0].state))
        return Branches((*ways, *missed), ())
    abort = look.otherwise is not None and look.otherwise.step is None
    return Branches(ways, tuple(Failure(way.option, way.truth, not abort, abort) for way in missed))


def _asked(world: World[S], ask: Ask, state: S) -> Branches[S]:
    ways: list[Way[S]] = []
    for index, option in enumerate(ask.options):
        if option.guard is None:
            ways.append(Way(index, Tri.YES, state))
            continue
        truth, state_if_so = world.observe(state, option.guard)
        if truth is not Tri.NO:
            ways.append(Way(index, truth, state_if_so))
    failures = () if ways else (Failure(len(ask.options), Tri.NO, True, False),)
    return Branches(tuple(ways), failures)


def _round(world: World[S], loop: Loop, state: S) -> Branches[S]:
    truth, state_if_so = world.observe(state, loop.until)
    leave = () if truth is Tri.NO else (Way(0, truth, state_if_so),)
    if truth is Tri.YES:
        return Branches(leave, ())
    if loop.last:
        return Branches(leave, (Failure(1, truth, True, False),))
    return Branches((*leave, Way(1, truth, state)), ())


def narrowed(world: World[S], node: Node, state: S, option: int) -> S:
    """The state after the move ``option`` of a node that is no action, for replaying a run."""
    match node:
        case Look(conditions=conditions) | Bar(conditions=conditions):
            for condition in conditions if option == 0 else conditions[: option - 1]:
                state = world.observe(state, condition).state_if_so
        case Ask(options=options):
            guard = options[option].guard if option < len(options) else None
            if guard is not None:
                state = world.observe(state, guard).state_if_so
        case Loop(until=until) if option == 0:
            state = world.observe(state, until).state_if_so
    return state
