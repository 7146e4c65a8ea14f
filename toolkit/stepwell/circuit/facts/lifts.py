"""lifts: the drive turns the head fast enough to hold against an artery."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """NO where the rig does not state the speed that it takes."""
    pump = view.layout.pump(view.state)
    return tri(pump is not None and pump.drive == args[0] and pump.lifts(view.state))


FACT = FactEntry(
    name="lifts",
    summary="The drive turns the head fast enough to hold against an artery.",
    args=(ArgSpec(name="part", kinds=("drive",)),),
    yes="{0} turns fast enough to hold against an artery",
    no="{0} does not turn fast enough to hold against an artery",
    observed=("display",),
    evaluate=evaluate,
)
