"""open-to-air: the space is in open connection with the open air, by whatever passes liquid."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.layout import OPEN_AIR
from stepwell.circuit.links import both_ways, end_points, reached
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    space = view.layout.space_of[args[0]]
    links = both_ways(view.water.links)
    return tri(OPEN_AIR in reached(links, [space], stop=end_points(view.layout)))


FACT = FactEntry(
    name="open-to-air",
    summary="The space is in open connection with the open air, by whatever passes liquid.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} is open to the air",
    no="{0} is shut to the air",
    observed=("eye",),
    evaluate=evaluate,
)
