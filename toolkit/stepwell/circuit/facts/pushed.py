"""pushed: on its own side, something that pushes liquid is connected to the end: a hung bag, a running pump, a vessel."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.sides import own_side, pushes
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(pushes(view, own_side(view, args[0])))


FACT = FactEntry(
    name="pushed",
    summary="On its own side, something that pushes liquid is connected to the end: a hung bag, a running pump, a vessel.",
    args=(ArgSpec(name="part", kinds=("end",)),),
    yes="something pushes liquid towards {0}",
    no="nothing pushes liquid towards {0}",
    observed=("eye",),
    evaluate=evaluate,
)
