"""turning-fast: the drive turns faster than the speed up to which clamping and stopping are gentle."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    pump = next((pump for pump in view.layout.pumps if pump.drive == args[0]), None)
    return tri(pump is not None and view.state[pump.speed] > pump.soft_speed)


FACT = FactEntry(
    name="turning-fast",
    summary="The drive turns faster than the speed up to which clamping and stopping are gentle.",
    args=(ArgSpec(name="part", kinds=("drive",)),),
    yes="{0} turns fast",
    no="{0} turns slowly or stands still",
    observed=("display",),
    evaluate=evaluate,
)
