"""wet: the space holds liquid, with or without air in it."""

from __future__ import annotations

from stepwell.circuit.contents import LIQUID, within
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return within(view.contents(args[0]), LIQUID)


FACT = FactEntry(
    name="wet",
    summary="The space holds liquid, with or without air in it.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} holds liquid",
    no="{0} is dry",
    observed=("eye",),
    evaluate=evaluate,
)
