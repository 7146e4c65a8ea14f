"""The trap and the spring: which step set up what another step meets.

The spring is the last action of the run. The trap is the last action after which a failing literal was no longer as it
should be. If
no action of the run did, the cure is missing: it is never done, or comes too late.
"""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.circuit.fact_table import fact
from stepwell.circuit.view import View
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate
from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Never, NeverLonger, Order, Within
from stepwell.model.tri import Tri
from stepwell.orders.program import Do, Program
from stepwell.orders.searched import Run
from stepwell.report.world import CircuitWorld, Here
from stepwell.rules.evaluate import Ask, Failing, failing_literals, words_of
from stepwell.rules.ground import Counted, GroundRule, Matched
from stepwell.rules.watch import finish, watch


@dataclass(frozen=True, slots=True, kw_only=True)
class Trap:
    """``node`` is the trap's place in the run's moves (-1: none set it); ``cure`` the step that would have helped.

    ``late``: the cure is a step that comes later; otherwise it is never done.
    """

    node: int
    literal: Fact | None
    wanted: Tri = Tri.YES
    """NO where the literal should surely not have been so."""
    cure: str = ""
    late: bool = False


def broken_instance(
    world: CircuitWorld, rule: str, states: tuple[Here, ...], nodes: tuple[Do, ...], at_end: bool
) -> GroundRule | None:
    """The instance of a rule that the last action (or the end) of a run violates."""
    for number, instance in enumerate(world.rules):
        if instance.rule.name != rule:
            continue
        if at_end:
            if finish(instance, world.ask(states[-1].circuit), states[-1].memory[number]).violated:
                return instance
            continue
        before = states[-2]
        moment = world.moment(before, nodes[-1])
        if watch(instance, moment, before.memory[number]).violated:
            return instance
    return None


def wanted_of(instance: GroundRule) -> Predicate:
    """The predicate that should have been surely so."""
    match instance.shape:
        case Never(state=state) | NeverLonger(state=state):
            return Not(state)
        case Within(comes=comes):
            return comes
        case Counted(cases=cases):
            return AllOf(tuple(Not(case) for case in cases))
        case Matched(wrong=wrong):
            return Not(wrong)
        case Becomes(unless=unless):
            return unless
        case BeforeDoing(require=require) | AtTheEnd(require=require):
            return require
        case Order():
            return AnyOf(())


def looks_after(instance: GroundRule) -> bool:
    """True if it is the state after the action that is judged."""
    return not isinstance(instance.shape, Becomes | BeforeDoing | Order)


def find_trap(
    world: CircuitWorld, wanted: Predicate, circuits: tuple[Ask, ...], program: Program, run: Run, nodes: tuple[Do, ...]
) -> Trap:
    """``circuits`` answer facts in the states before the first, and after each action; the last is where it failed."""
    failing = failing_literals(wanted, circuits[-1], Tri.YES)
    best = -1
    literal: Fact | None = failing[0].fact if failing else None
    for one in failing:
        atom = one.fact
        if _is_passing(atom):
            continue
        for index in range(len(circuits) - 1, 0, -1):
            was, became = (circuits[at](atom.name, words_of(atom)) for at in (index - 1, index))
            if was is one.wanted and became is not one.wanted:
                if index - 1 > best:
                    best, literal = index - 1, atom
                break
    if best >= 0:
        return Trap(node=best, literal=literal)
    return _missing(world, failing, program, nodes, literal)


def _is_passing(atom: Fact) -> bool:
    entry = fact(atom.name)
    return entry is not None and entry.passing


def _missing(
    world: CircuitWorld,
    failing: tuple[Failing, ...],
    program: Program,
    nodes: tuple[Do, ...],
    literal: Fact | None,
) -> Trap:
    """Go on in the order of the page and see whether some later step would have brought the cure."""
    state = world.starts()[0].circuit
    done_already = set(map(id, nodes))
    for done in nodes:
        reached = world.done(state, done.actions).state
        state = state if reached is None else reached
    for node in program.nodes:
        if not isinstance(node, Do) or id(node) in done_already:
            continue
        after = world.done(state, node.actions).state
        if after is None:
            continue
        for one in failing:
            atom, good = one.fact, one.wanted
            view = View(world.layout, after)
            if not _is_passing(atom) and world.ask(view.state)(atom.name, words_of(atom)) is good:
                return Trap(node=-1, literal=atom, cure=node.step, late=True)
        state = after
    return Trap(node=-1, literal=literal, wanted=failing[0].wanted if failing else Tri.YES)
