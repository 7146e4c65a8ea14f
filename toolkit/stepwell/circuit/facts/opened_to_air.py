"""opened-to-air: the tap of the fluid-line transducer is open to air, uncapped, and shut to the line."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.circuit.zeroing import opened_to_air
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return opened_to_air(view, args[0])


FACT = FactEntry(
    name="opened-to-air",
    summary="The tap of the fluid-line transducer is open to air, uncapped, and shut to the line.",
    args=(ArgSpec(name="part", kinds=("pressure-sensor",)),),
    yes="the tap of {0} is open to air and shut to the line",
    no="the tap of {0} is not open to air and shut to the line",
    observed=("eye",),
    evaluate=evaluate,
)
