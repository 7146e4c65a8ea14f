"""exposes-kept: on its own side, the end is in open connection with a space that must not be opened by accident."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.sides import own_side
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    seen = own_side(view, args[0])
    return tri(any(view.layout.spaces[space].kept for space in seen))


FACT = FactEntry(
    name="exposes-kept",
    summary="On its own side, the end is in open connection with a space that must not be opened by accident.",
    args=(ArgSpec(name="part", kinds=("end",)),),
    yes="{0} is in open connection with a part of the set that must stay shut",
    no="{0} is shut off from the parts of the set that must stay shut",
    observed=("eye",),
    evaluate=evaluate,
)
