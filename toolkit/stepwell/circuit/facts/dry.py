"""dry: the space holds no liquid; a space flushed with carbon dioxide is dry."""

from __future__ import annotations

from stepwell.circuit.contents import DRY, within
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return within(view.contents(args[0]), DRY)


FACT = FactEntry(
    name="dry",
    summary="The space holds no liquid; a space flushed with carbon dioxide is dry.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} is dry",
    no="{0} holds liquid",
    observed=("eye",),
    evaluate=evaluate,
)
