"""chamber-wet: the chamber of the fluid-line transducer's tap holds liquid."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.circuit.zeroing import chamber_wet
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return chamber_wet(view, args[0])


FACT = FactEntry(
    name="chamber-wet",
    summary="The chamber of the fluid-line transducer's tap holds liquid.",
    args=(ArgSpec(name="part", kinds=("pressure-sensor",)),),
    yes="the chamber of {0} holds liquid",
    no="the chamber of {0} is dry",
    observed=("eye",),
    evaluate=evaluate,
)
