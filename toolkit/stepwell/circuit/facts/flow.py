"""flow: the flow through the pump is of this sort."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.hydraulics import FLOWS
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    bit = 1 << FLOWS.index(args[0])
    flow = view.water.flow
    if flow == bit:
        return Tri.YES
    return Tri.MAYBE if flow & bit else Tri.NO


FACT = FactEntry(
    name="flow",
    summary="The flow through the pump is of this sort.",
    args=(ArgSpec(name="sort", choices=("none", "forward", "reverse", "recirculating", "dead-headed", "starved")),),
    yes="the flow is {0}",
    no="the flow is not {0}",
    observed=("display",),
    evaluate=evaluate,
)
