"""above-air: the pressure in the space is above that of the open air."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.hydraulics import ABOVE
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    signs = view.water.pressure[view.layout.space_of[args[0]]]
    if signs == ABOVE:
        return Tri.YES
    return Tri.MAYBE if signs & ABOVE else Tri.NO


FACT = FactEntry(
    name="above-air",
    summary="The pressure in the space is above that of the open air.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="the pressure in {0} is above the air's",
    no="the pressure in {0} is not above the air's",
    observed=("display",),
    evaluate=evaluate,
)
