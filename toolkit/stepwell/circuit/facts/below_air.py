"""below-air: the pressure in the space is below that of the open air."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.hydraulics import BELOW
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    signs = view.water.pressure[view.layout.space_of[args[0]]]
    if signs == BELOW:
        return Tri.YES
    return Tri.MAYBE if signs & BELOW else Tri.NO


FACT = FactEntry(
    name="below-air",
    summary="The pressure in the space is below that of the open air.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="the pressure in {0} is below the air's",
    no="the pressure in {0} is not below the air's",
    observed=("display",),
    evaluate=evaluate,
)
