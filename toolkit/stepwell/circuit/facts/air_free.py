"""air-free: the space holds liquid or blood without air."""

from __future__ import annotations

from stepwell.circuit.contents import AIR_FREE, within
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return within(view.contents(args[0]), AIR_FREE)


FACT = FactEntry(
    name="air-free",
    summary="The space holds liquid or blood without air.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} is free of air",
    no="{0} holds air",
    observed=("eye",),
    evaluate=evaluate,
)
