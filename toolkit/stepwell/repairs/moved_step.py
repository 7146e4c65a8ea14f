"""A repair that moves one step up or down the page, no further than it must."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.procedure import Hold, Step
from stepwell.repairs.changes import Change, MoveStep
from stepwell.repairs.leaves import Leaf
from stepwell.repairs.scene import Scene
from stepwell.repairs.trouble import Trouble

OTHERS = 4
"""So many steps that touch the parts in question are moved, and so many that come after, besides those that are told as
trap, spring or cure."""


def moved_steps(scene: Scene, trouble: Trouble) -> Iterator[tuple[Change, ...]]:
    """Moves by the number of steps that are passed on the way; first of the step at which it strikes."""
    found: list[tuple[int, int, int, MoveStep]] = []
    for rank, mover in enumerate(_movers(scene, trouble)):
        for before, spot in _spots(scene, mover):
            found.append((_passed(scene, mover, spot, before), rank, spot.place, _move(mover, spot, before)))
    for passed, _, _, move in sorted(found, key=lambda one: one[:3]):
        if passed:
            yield (move,)


def lifted_over_a_look(scene: Scene, change: Change) -> bool:
    """True if a step is moved up past a hold, or past a step that looks at something."""
    if not isinstance(change, MoveStep):
        return False
    mover, spot = scene.leaf(change.step), scene.leaf(change.anchor)
    if mover is None or spot is None or spot.place > mover.place:
        return False
    between = scene.leaves[spot.place + (not change.before) : mover.place]
    return any(isinstance(leaf.item, Hold) or getattr(leaf.item, "expect", ()) for leaf in between)


def _move(mover: Leaf, spot: Leaf, before: bool) -> MoveStep:
    return MoveStep(step=mover.id, anchor=spot.id, before=before)


def _movers(scene: Scene, trouble: Trouble) -> list[Leaf]:
    acting = [leaf for leaf in scene.leaves if isinstance(leaf.item, Step) and (leaf.item.do or leaf.id == trouble.at)]
    named = [leaf for name in (trouble.at, trouble.trap, trouble.cure) for leaf in acting if leaf.id == name]
    touching = [leaf for leaf in acting if leaf not in named and _touches(leaf, trouble)]
    near = sorted(touching, key=lambda leaf: leaf.id not in trouble.steps)
    at = scene.leaf(trouble.at)
    place = len(scene.leaves) if at is None else at.place
    later = [leaf for leaf in acting if leaf.place > place][:OTHERS]
    earlier = [leaf for leaf in acting if leaf.place < place][-OTHERS // 2 :]
    return list(dict.fromkeys((*named, *near[:OTHERS], *later, *reversed(earlier))))


def _touches(leaf: Leaf, trouble: Trouble) -> bool:
    assert isinstance(leaf.item, Step)
    return any(part in trouble.parts for action in leaf.item.do for part in action.parts)


def _spots(scene: Scene, mover: Leaf) -> Iterator[tuple[bool, Leaf]]:
    """Places in sequences, in none of the answers and rounds that the step does not stand in, and in a lane of its role."""
    assert isinstance(mover.item, Step)
    for leaf in scene.leaves:
        if leaf.id == mover.id or leaf.loose or leaf.sheltered != mover.sheltered or leaf.lane not in ("", mover.item.who):
            continue
        yield True, leaf
        yield False, leaf


def _passed(scene: Scene, mover: Leaf, spot: Leaf, before: bool) -> int:
    """How many steps and holds lie between; 0 where it would not move at all."""
    if spot.place < mover.place:
        return mover.place - spot.place - (not before)
    return spot.place - mover.place - before
