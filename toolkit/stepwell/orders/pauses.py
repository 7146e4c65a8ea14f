"""What lies on the way to an action without being one: looks, holds, questions, and the time that they state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from stepwell.model.procedure import Step
from stepwell.orders.program import Ask, Bar, Do, Look, Loop, Node, Pause, Times, bits, skipping, undoing


def with_pauses(nodes: Sequence[Node], needs: Sequence[int], steps: Mapping[str, Step]) -> tuple[Node, ...]:
    """The nodes, each action with the pauses that come before it.

    The look of a step that has actions is a part of that step. A pause whose place is not sure (it may be left out, taken
    back, or fall before or after the action as its person likes) states no time there.
    """
    before = _before(needs)
    unsure = _unsure(nodes)
    acting = {node.step for node in nodes if isinstance(node, Do)}
    pauses = {index: (name, _takes(node, steps)) for index, node in enumerate(nodes) if (name := _name(index, node, acting))}
    found: list[Node] = []
    for index, node in enumerate(nodes):
        if not isinstance(node, Do):
            found.append(node)
            continue
        mine = [
            Pause(name=name, takes=None if _apart(unsure, other, index) else takes)
            for other, (name, takes) in pauses.items()
            if before[index] >> other & 1
        ]
        mine += [
            Pause(name=name, takes=None)
            for other, (name, _) in pauses.items()
            if not (before[index] >> other | before[other] >> index) & 1 and getattr(nodes[other], "who", "") == node.who
        ]
        found.append(replace(node, pauses=tuple(mine)))
    return tuple(found)


def _name(index: int, node: Node, acting: set[str]) -> str:
    """What the pause is called, with its place so that each round of a repeat has its own; empty if it is none."""
    match node:
        case Look(step=step) if step not in acting:
            return f"{step} ({index})"
        case Bar(hold=hold):
            return f"{hold} ({index})"
        case Loop(repeat=repeat):
            return f"{repeat} ({index})"
        case Ask(name=name, optional=False):
            return f"{name} ({index})"
    return ""


def _takes(node: Node, steps: Mapping[str, Step]) -> Times | None:
    return steps[node.step].takes if isinstance(node, Look) and node.step in steps else None


def _before(needs: Sequence[int]) -> list[int]:
    """Per node the mask of everything that comes before it; ``needs`` lead to lower indices only."""
    found: list[int] = []
    for need in needs:
        whole = need
        for other in bits(need):
            whole |= found[other]
        found.append(whole)
    return found


def _unsure(nodes: Sequence[Node]) -> tuple[int, ...]:
    """The masks of nodes that are skipped or taken back together."""
    return tuple(mask for node in nodes for mask in (*skipping(node), undoing(node)) if mask)


def _apart(masks: tuple[int, ...], pause: int, action: int) -> bool:
    """True if something may leave out or take back the pause and not the action."""
    return any(mask >> pause & 1 and not mask >> action & 1 for mask in masks)
