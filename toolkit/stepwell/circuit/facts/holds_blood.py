"""holds-blood: the space holds blood."""

from __future__ import annotations

from stepwell.circuit.contents import BLOOD, within
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return within(view.contents(args[0]), BLOOD)


FACT = FactEntry(
    name="holds-blood",
    summary="The space holds blood.",
    args=(
        ArgSpec(
            name="space",
            kinds=("line", "pump-head", "oxygenator", "stub", "tap", "cannula", "bag", "vein", "artery"),
        ),
    ),
    yes="{0} holds blood",
    no="{0} holds no blood",
    observed=("eye",),
    evaluate=evaluate,
)
