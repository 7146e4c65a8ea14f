"""holds-air: the space holds liquid or blood with air in it."""

from __future__ import annotations

from stepwell.circuit.contents import WET, within
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return within(view.contents(args[0]), WET)


FACT = FactEntry(
    name="holds-air",
    summary="The space holds liquid or blood with air in it.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} holds liquid with air in it",
    no="{0} holds no air in liquid",
    observed=("eye",),
    evaluate=evaluate,
)
