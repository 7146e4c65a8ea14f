"""A sketch of a run, tried in the world that it was sketched for."""

from __future__ import annotations

from stepwell.orders.branches import branches
from stepwell.orders.causal import Sketch
from stepwell.orders.program import Do, End, Program, turn
from stepwell.orders.searched import Move, Run
from stepwell.orders.world import S, World


def enact(program: Program, world: World[S], rule: str, sketch: Sketch) -> Run | int | None:
    """The run that the sketch stands for, if it can be done and violates the rule with its last move.

    Else the number of the node that could not be done or passed; None if it went through and violates nothing, or can't
    be ordered so.

    Decisions are answered so that what the sketch keeps is done and as little else as possible. That a sketch can't be
    enacted says nothing: another order of the same nodes might be.
    """
    ends = tuple(index for index, node in enumerate(program.nodes) if isinstance(node, End))
    state, mask, length = world.starts()[sketch.start], 0, 0
    moves: list[Move] = []
    for node in sketch.nodes:
        if mask >> node & 1:
            continue
        if program.covers[node] & ~mask:
            return None
        taken = program.nodes[node]
        over = [end for end in ends if not mask >> end & 1 and not program.covers[end] & ~mask]
        if over or isinstance(taken, End):
            # An end that is reached stops everybody: nothing else can come in this run.
            at_end = node in over and rule in world.finish(state)
            return Run(sketch.start, (*moves, Move(node)), length) if at_end else None
        if isinstance(taken, Do):
            length += 1
            moves.append(Move(node))
            after, _, broke = world.act(state, taken)
            if rule in broke:
                return Run(sketch.start, tuple(moves), length)
            if after is None:
                return node
            state, mask = after, mask | 1 << node
            continue
        ways = [(turn(taken, way.option)[0], way) for way in branches(world, taken, state).ways]
        possible = [(skips, way) for skips, way in ways if not skips & sketch.kept]
        if not possible:
            return node
        skips, way = max(possible, key=lambda one: one[0].bit_count())
        moves.append(Move(node, way.option, way.truth))
        state, mask = way.state, mask | 1 << node | skips
    if mask == program.full and rule in world.finish(state):
        return Run(sketch.start, tuple(moves), length)
    return None
