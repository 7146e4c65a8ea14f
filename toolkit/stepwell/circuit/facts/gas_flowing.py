"""gas-flowing: sweep gas flows."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.equipment import gas_flows
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(gas_flows(view, args[0]))


FACT = FactEntry(
    name="gas-flowing",
    summary="Sweep gas flows: the flow meter is on and, where the rig lists gas sources, on an open one.",
    args=(ArgSpec(name="part", kinds=("gas-supply",)),),
    yes="{0} is on",
    no="{0} is off",
    observed=("gauge",),
    evaluate=evaluate,
)
