"""filled: the space is filled: surely holds liquid. Filling that was only begun is not enough."""

from __future__ import annotations

from stepwell.circuit.contents import LIQUID, within
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return within(view.contents(args[0]), LIQUID)


FACT = FactEntry(
    name="filled",
    summary="The space is filled: surely holds liquid. Filling that was only begun is not enough.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} is filled",
    no="{0} is not filled",
    observed=("eye",),
    evaluate=evaluate,
)
