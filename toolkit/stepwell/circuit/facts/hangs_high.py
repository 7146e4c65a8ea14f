"""hangs-high: the lower edge of the bag has its margin above the main path."""

from __future__ import annotations

from stepwell.circuit.compile_rig import figure
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, conjunction, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """Its lower edge against every space of the main path; a height that the rig does not state leaves it open."""
    part = view.layout.rig.part(args[0])
    margin = None if part is None else figure(part, "margin", "cm")
    if part is None or margin is None:
        return Tri.YES
    edge = figure(part, "height", "cm")
    heights = [space.height for space in view.layout.spaces if space.main]
    return conjunction(Tri.MAYBE if height is None or edge is None else tri(edge - height >= margin) for height in heights)


FACT = FactEntry(
    name="hangs-high",
    summary="The lower edge of the bag, on its hook, stands its margin or more above all of the main path; "
    "yes where the rig states no margin.",
    args=(ArgSpec(name="part", kinds=("bag",)),),
    yes="the hook of {0} is as high above the set as its margin asks",
    no="the hook of {0} is too low above the set",
    observed=("eye",),
    evaluate=evaluate,
)
