"""A repair that lets one step wait for another, where so far either may come first."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.procedure import Step
from stepwell.repairs.changes import AddOrder, Change
from stepwell.repairs.leaves import Leaf, side_by_side
from stepwell.repairs.scene import Scene
from stepwell.repairs.trouble import Trouble


def added_orders(scene: Scene, trouble: Trouble) -> Iterator[tuple[Change, ...]]:
    """Pairs that the run took the wrong way round: first those of trap, spring and cure, then the nearer ones."""
    steps = [leaf for leaf in scene.leaves if isinstance(leaf.item, Step)]
    done = {step: number for number, step in enumerate(trouble.steps)}
    marked = (trouble.at, trouble.trap, trouble.cure)
    found: list[tuple[int, int, str, str]] = []
    for early in steps:
        if early.id not in done:
            continue
        for late in steps:
            if late is early or done.get(late.id, len(done)) < done[early.id] or not side_by_side(early, late):
                continue
            if not _waits(early, late) and not _waits(late, early):
                strange = sum(leaf.id not in marked for leaf in (early, late))
                found.append((strange, abs(early.place - late.place), early.id, late.id))
    for _, _, step, other in sorted(found):
        yield (AddOrder(step=step, other=other),)


def _waits(one: Leaf, other: Leaf) -> bool:
    return isinstance(one.item, Step) and other.id in one.item.after
