"""A repair that adds the action that is missing, such as the clamp that was forgotten."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from stepwell.circuit.hydraulics import FLOWS
from stepwell.circuit.view import View
from stepwell.model.procedure import Action, Step, steps_of
from stepwell.orders.program import Do
from stepwell.repairs.actions import actions_of, model_for, step_of
from stepwell.repairs.changes import AddStep, Change
from stepwell.repairs.ids import fresh_id
from stepwell.repairs.leaves import Leaf
from stepwell.repairs.scene import Scene
from stepwell.repairs.trouble import Trouble, left_over
from stepwell.report.world import Here

MOST_ACTIONS = 4
CURES = 6
Tried = tuple[int, tuple[Action, ...], Here]
"""What is left, what was done, and the state then."""


def added_actions(scene: Scene, trouble: Trouble) -> Iterator[tuple[Change, ...]]:
    """Actions that, done just before it strikes, leave nothing of it: nearest to it first, then further and further up.

    Left out are the places where they would set the pump to work against a shut clamp.
    """
    for actions, leaf, before in _put_in(scene, trouble):
        if not _against_the_pump(scene, trouble, actions, leaf, before):
            yield _added(scene, actions, leaf, before)


def added_against_the_pump(scene: Scene, trouble: Trouble) -> Iterator[tuple[Change, ...]]:
    """The places that ``added_actions`` leaves out. Emergencies have no others: there the clamp comes first."""
    for actions, leaf, before in _put_in(scene, trouble):
        if _against_the_pump(scene, trouble, actions, leaf, before):
            yield _added(scene, actions, leaf, before)


def _put_in(scene: Scene, trouble: Trouble) -> Iterator[tuple[tuple[Action, ...], Leaf, bool]]:
    cures = _cures(scene, trouble)
    for leaf, before in _spots(scene, trouble):
        for actions in cures:
            yield actions, leaf, before


def _against_the_pump(scene: Scene, trouble: Trouble, actions: tuple[Action, ...], leaf: Leaf, before: bool) -> bool:
    """True if on the run that strikes the flow may stand still against the running pump behind them, and not before."""
    steps = [node.step for node, _ in trouble.around]
    if leaf.id not in steps:
        return False
    first = steps.index(leaf.id)
    number = first if before else first + steps.count(leaf.id)
    here = trouble.around[number][1] if number < len(steps) else trouble.before
    after = _after(scene, trouble, here, actions)
    return after is not None and _works(scene, after) and not _works(scene, here)


def _works(scene: Scene, state: Here) -> bool:
    flow = View(scene.world.layout, state.circuit).water.flow
    return any(flow >> FLOWS.index(name) & 1 for name in ("dead-headed", "starved"))


def _cures(scene: Scene, trouble: Trouble) -> list[tuple[Action, ...]]:
    """Sets of actions that mend it in the state before it strikes: the smallest, and what takes back an earlier step."""
    own = {action for card in scene.workspace.procedures for step in steps_of(card.body) for action in step.do}
    every = sorted(
        actions_of(scene.rig, scene.models),
        key=lambda one: (not any(part in trouble.parts for part in one.parts), one not in own, one.verb == "wait"),
    )
    found = [*_smallest(scene, trouble, every)[:CURES], *_taken_back(scene, trouble, every)]
    return list({frozenset(one): one for one in reversed(found)}.values())[::-1]


def _smallest(scene: Scene, trouble: Trouble, every: list[Action]) -> list[tuple[Action, ...]]:
    """Action by action, as long as each leaves less of it than there was."""
    chosen: list[Tried] = [(left_over(scene.world, trouble, trouble.before), (), trouble.before)]
    for _ in range(MOST_ACTIONS):
        reached: list[Tried] = []
        for left, done, state in chosen:
            for action in every:
                after = _after(scene, trouble, state, (action,))
                rest = left if after is None else left_over(scene.world, trouble, after)
                if after is not None and rest < left:
                    reached.append((rest, (*done, action), after))
        mended = [done for left, done, _ in reached if not left]
        if mended:
            return mended
        chosen = sorted(reached, key=lambda one: one[0])[:2]
    return []


def _taken_back(scene: Scene, trouble: Trouble, every: list[Action]) -> Iterator[tuple[Action, ...]]:
    """For each earlier step, the last first, the actions that bring all its parts back to what they were before it."""
    layout = scene.world.layout
    for step, group in groupby(reversed(trouble.around), key=lambda one: one[0].step):
        nodes = list(group)
        was = nodes[-1][1].circuit
        parts = dict.fromkeys(part for node, _ in nodes for action in node.actions for part in action.parts)
        state: Here | None = trouble.before
        back: list[Action] = []
        for part in parts if step != trouble.at else ():
            mine = [number for number, one in enumerate(layout.variables) if one.part == part and one.name != "contents"]
            for action in (one for one in every if part in one.parts):
                after = None if state is None else _after(scene, trouble, state, (action,))
                if after is not None and after != state and all(after.circuit[one] == was[one] for one in mine):
                    back.append(action)
                    state = after
                    break
        if back and state is not None and not left_over(scene.world, trouble, state):
            yield tuple(back)


def _after(scene: Scene, trouble: Trouble, state: Here, actions: tuple[Action, ...]) -> Here | None:
    who = trouble.spring.who if trouble.spring is not None else ""
    acted = scene.world.act(state, Do(step="new", who=who, index=0, actions=actions))
    return None if acted.broke else acted.state


def _spots(scene: Scene, trouble: Trouble) -> Iterator[tuple[Leaf, bool]]:
    """Just before it strikes, then further up; at the end of a card, just behind what set it up, then the end."""
    fit = [leaf for leaf in scene.leaves if not leaf.loose]
    at = scene.leaf(trouble.at)
    if at is not None:
        yield from (_in_its_stage(scene, leaf) for leaf in reversed(fit) if leaf.place <= at.place)
        return
    trap = scene.leaf(trouble.trap)
    if trap is not None and trap in fit:
        yield trap, False
    plain = [leaf for leaf in fit if not leaf.sheltered and not leaf.lane]
    if plain:
        yield plain[-1], False
    yield from (_in_its_stage(scene, leaf) for leaf in reversed(plain))


def _in_its_stage(scene: Scene, leaf: Leaf) -> tuple[Leaf, bool]:
    """Before a leaf; before a hold or a question, rather behind the last step of the stage that it follows."""
    last = scene.leaves[leaf.place - 1] if leaf.place else None
    if last is None or isinstance(leaf.item, Step) or not isinstance(last.item, Step):
        return leaf, True
    beside = all(turn[1] == "seq" for turn in last.path) and all(turn[1] == "seq" for turn in leaf.path)
    return (last, False) if beside and last.sheltered == leaf.sheltered else (leaf, True)


def _added(scene: Scene, actions: tuple[Action, ...], leaf: Leaf, before: bool) -> tuple[Change, ...]:
    """One new step for each run of actions with the same verb and options."""
    kinds = {part.id: part.kind for part in scene.rig.parts}
    used = {one.id for one in scene.leaves}
    steps: list[Step] = []
    for _, group in groupby(actions, key=lambda one: (one.verb, one.options)):
        alike = tuple(group)
        model = model_for(alike, scene.rig, scene.models, kinds)
        new = fresh_id(used, (scene.procedure.id, str(alike)))
        used.add(new)
        steps.append(step_of(new, _who(scene, leaf, alike, "" if model is None else model.step.who), alike, model))
    ordered = steps if before else list(reversed(steps))
    return tuple(AddStep(step=step, anchor=leaf.id, before=before) for step in ordered)


def _who(scene: Scene, leaf: Leaf, actions: tuple[Action, ...], usual: str) -> str:
    """Whose lane it is; else who handles such a thing on this card, or else in the model; else who stands beside it."""
    if leaf.lane:
        return leaf.lane
    parts = {part for action in actions for part in action.parts}
    for step in steps_of(scene.procedure.body):
        if any(action.verb == actions[0].verb and parts & {*action.parts} for action in step.do):
            return step.who
    for step in steps_of(scene.procedure.body):
        if any(parts & {*action.parts} for action in step.do):
            return step.who
    if usual in scene.procedure.people:
        return usual
    who = getattr(leaf.item, "who", "")
    return who if who in scene.procedure.people else scene.procedure.people[0]
