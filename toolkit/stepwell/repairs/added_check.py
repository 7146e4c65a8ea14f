"""A repair that has somebody look, where looking is what makes it sure: a fill that is watched to its end."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.circuit.fact_table import fact
from stepwell.model.predicate import Fact
from stepwell.model.procedure import Condition, Hold, Otherwise, Step, Text
from stepwell.model.tri import Tri
from stepwell.repairs.changes import AddCheck, AddToHold, Change
from stepwell.repairs.scene import Scene
from stepwell.repairs.trouble import Trouble, blamed

OTHERWISE = Otherwise(words=(Text("Go no further. Put it right and look again."),))
"""What is to be done where a step expected nothing until now; the author will know better words."""


def added_checks(scene: Scene, trouble: Trouble) -> Iterator[tuple[Change, ...]]:
    """Facts that may be so and can be observed, looked for by a hold or a step before it strikes, the last first."""
    at = scene.leaf(trouble.at)
    ready = [leaf for leaf in scene.leaves if at is None or leaf.place < at.place]
    for one in blamed(scene.world, trouble):
        entry = fact(one.fact.name)
        if one.value is not Tri.MAYBE or one.wanted is not Tri.YES or entry is None or not entry.observed or entry.passing:
            continue
        condition = Condition(predicate=Fact(one.fact.name, one.fact.args))
        for leaf in reversed(ready):
            if isinstance(leaf.item, Hold):
                yield (AddToHold(hold=leaf.id, condition=condition),)
            elif isinstance(leaf.item, Step) and leaf.item.do and leaf.id in trouble.steps:
                yield (AddCheck(step=leaf.id, condition=condition, otherwise=OTHERWISE),)
