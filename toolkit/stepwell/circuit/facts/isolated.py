"""isolated: the space is in open connection with no bag, running pump or vessel."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.links import both_ways, end_points, reached
from stepwell.circuit.sides import pushes
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, negation, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    space = view.layout.space_of[args[0]]
    seen = reached(both_ways(view.water.links), [space], stop=end_points(view.layout))
    return negation(tri(pushes(view, seen)))


FACT = FactEntry(
    name="isolated",
    summary="The space is in open connection with no bag, running pump or vessel.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} is shut off from bag, pump and patient",
    no="{0} is in open connection with bag, pump or patient",
    observed=("eye",),
    evaluate=evaluate,
)
