"""guards-artery: the clamp stands on a way between the outlet of the pump and an artery."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.sides import outlet_clamps
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(args[0] in outlet_clamps(view))


FACT = FactEntry(
    name="guards-artery",
    summary="The clamp stands on a way between the outlet of the pump and an artery.",
    args=(ArgSpec(name="part", kinds=("clamp",)),),
    yes="{0} stands between the pump and an artery",
    no="{0} does not stand between the pump and an artery",
    observed=("eye",),
    evaluate=evaluate,
)
