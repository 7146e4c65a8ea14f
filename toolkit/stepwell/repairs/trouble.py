"""What there is to mend: one thing that a search found, with its shortest run and the state just before it strikes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stepwell.diagnostics.finding import Finding
from stepwell.model.predicate import AllOf, Predicate
from stepwell.model.procedure import Procedure
from stepwell.model.tri import Tri
from stepwell.orders.program import Bar, Do, Look, Program
from stepwell.orders.searched import Failed, Refused, Run, Searched, Violation
from stepwell.report.faults import CANNOT_BE_DONE, ENDS_NOT_REACHED, EXPECTATION_NOT_MET, HOLD_NOT_MET
from stepwell.report.runs import Told
from stepwell.report.trap import broken_instance, find_trap, looks_after, wanted_of
from stepwell.report.where import places_of
from stepwell.report.world import ENDS, CircuitWorld, Here
from stepwell.rules.evaluate import Ask, Failing, failing_literals
from stepwell.rules.watch import finish, watch

Key = tuple[str, str]
"""The name of a rule or a fault, and the step or hold at which a fault is met; empty for a rule, and for the ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """``key`` tells it from all others. ``before``: the state just before it strikes, at ``at`` (None: the end of the card).

    ``spring`` is the action that strikes, or can't be done; ``conditions`` what is waited for in vain. ``trap`` and
    ``cure`` are steps: which set it up, and which would help but comes too late.
    """

    key: Key
    run: Run
    before: Here
    at: str | None
    steps: tuple[str, ...]
    """The steps of the run in its order."""
    spring: Do | None = None
    conditions: tuple[Predicate, ...] = ()
    trap: str = ""
    cure: str = ""
    parts: tuple[str, ...] = ()
    """The parts whose facts are to blame."""
    around: tuple[tuple[Do, Here], ...] = ()
    """The actions of the run, each with the state before it."""


def key_of(program: Program, found: Violation | Refused | Failed) -> Key:
    """The key of something that a search found."""
    match found:
        case Violation(rule=rule):
            return (ENDS_NOT_REACHED.name if rule == ENDS else rule, "")
        case Refused(node=node):
            return (CANNOT_BE_DONE.name, program.nodes[node].name)
        case Failed(node=node):
            bar = isinstance(program.nodes[node], Bar)
            return ((HOLD_NOT_MET if bar else EXPECTATION_NOT_MET).name, program.nodes[node].name)


def key_of_finding(finding: Finding, procedure: Procedure) -> Key | None:
    """The key under which what a finding tells is mended; None for what no order leads to."""
    name, places = finding.rule, places_of(procedure.body)
    if name in (EXPECTATION_NOT_MET.name, HOLD_NOT_MET.name):
        # It is told of the condition, which stands below the head of its hold, question or repeat.
        line = finding.span.line if finding.span is not None else 0
        heads = [(span.line, one) for one, span in places.items() if span is not None and span.line <= line]
        found = finding.step or max(heads, default=(0, None))[1]
        return None if found is None else (name, found)
    if name == CANNOT_BE_DONE.name:
        return None if finding.step is None else (name, finding.step)
    return (name, "") if finding.trace is not None else None


def keys_of(program: Program, result: Searched[Here]) -> frozenset[Key]:
    """The keys of everything that a search found."""
    return frozenset(key_of(program, one) for one in _found(program, result))


def troubles_of(world: CircuitWorld, program: Program, procedure: Procedure, result: Searched[Here]) -> tuple[Trouble, ...]:
    """Everything that a search found, that with the shortest run first."""
    told = [_trouble(world, program, procedure, one) for one in _found(program, result)]
    return tuple(sorted(told, key=lambda one: (one.run.length, one.key)))


def _found(program: Program, result: Searched[Here]) -> Iterator[Violation | Refused | Failed]:
    yield from result.violated
    yield from result.refused
    for item in (*result.blocked, *result.aborted):
        node = program.nodes[item.node]
        if not isinstance(node, Look) or 0 < item.option <= len(node.conditions):
            yield item


def _trouble(world: CircuitWorld, program: Program, procedure: Procedure, found: Violation | Refused | Failed) -> Trouble:
    told = Told(world, program, found.run, procedure)
    nodes = tuple(told.nodes)
    around = tuple((node, before) for node, (before, _) in zip(nodes, told.around, strict=True))
    key = key_of(program, found)
    steps = tuple(dict.fromkeys(node.step for node in nodes))
    wanted: Predicate = AllOf(())
    spring: Do | None = None
    conditions: tuple[Predicate, ...] = ()
    asks = told.asks
    if isinstance(found, Violation) and found.rule != ENDS:
        instance = broken_instance(world, found.rule, told.states_around(), nodes, found.at_end)
        wanted = AllOf(()) if instance is None else wanted_of(instance)
        if not found.at_end:
            spring = nodes[-1]
            asks = asks if instance is None or looks_after(instance) else asks[:-1]
    elif isinstance(found, Violation):
        wanted = AllOf(world.unmet_ends(told.states[-1]))
    elif isinstance(found, Refused):
        node = program.nodes[found.node]
        spring = node if isinstance(node, Do) else None
    else:
        conditions = getattr(program.nodes[found.node], "conditions", ())
        wanted = AllOf(tuple(world.grounded(one) for one in conditions))
    trap = find_trap(world, wanted, asks, program, found.run, nodes)
    at = key[1] or (spring.step if spring is not None else None)
    parts = tuple(dict.fromkeys(ref for one in failing_literals(wanted, asks[-1], Tri.YES) for ref in _args(one.fact)))
    return Trouble(
        key=key,
        run=found.run,
        before=told.around[-1][0] if spring is not None else told.states[-1],
        at=at,
        steps=steps,
        spring=spring,
        conditions=conditions,
        trap=nodes[trap.node].step if trap.node >= 0 else "",
        cure=trap.cure,
        around=around,
        parts=parts or (spring.actions[0].parts if spring is not None and spring.actions else ()),
    )


def _args(fact: object) -> tuple[str, ...]:
    return tuple(ref.name for ref in getattr(fact, "args", ()))


def blamed(world: CircuitWorld, trouble: Trouble) -> tuple[Failing, ...]:
    """The facts that are to blame, as they are just before it strikes or, where that is judged, just after."""
    return tuple(
        dict.fromkeys(one for wanted, ask in _lacking(world, trouble, trouble.before) for one in _failing(wanted, ask))
    )


def left_over(world: CircuitWorld, trouble: Trouble, state: Here) -> int:
    """How much of the trouble is left if it strikes in ``state`` and not in the one before it: 0 if nothing is.

    Counts what is violated, and the facts that are to blame for it, so that fewer is nearer to mended.
    """
    if trouble.key[0] == CANNOT_BE_DONE.name and trouble.spring is not None:
        return int(world.act(state, trouble.spring).state is None)
    return sum(1 + len(_failing(wanted, ask)) for wanted, ask in _lacking(world, trouble, state))


def _failing(wanted: Predicate, ask: Ask) -> tuple[Failing, ...]:
    return failing_literals(wanted, ask, Tri.YES)


def _lacking(world: CircuitWorld, trouble: Trouble, state: Here) -> Iterator[tuple[Predicate, Ask]]:
    """What should be so and is not, with what answers facts at the moment that counts."""
    here = world.ask(state.circuit)
    if trouble.conditions:
        for one in trouble.conditions:
            if world.observe(state, one).truth is not Tri.YES:
                yield world.grounded(one), here
    elif trouble.key[0] == ENDS_NOT_REACHED.name:
        for end in world.unmet_ends(state):
            yield end, here
    else:
        for number, instance in enumerate(world.rules):
            if instance.rule.name != trouble.key[0]:
                continue
            memory = state.memory[number]
            if trouble.spring is None:
                if finish(instance, here, memory).violated:
                    yield wanted_of(instance), here
                continue
            moment = world.moment(state, trouble.spring)
            if watch(instance, moment, memory).violated:
                yield wanted_of(instance), moment.after if looks_after(instance) else moment.before
