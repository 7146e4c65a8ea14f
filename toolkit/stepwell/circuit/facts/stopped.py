"""stopped: the drive stands still."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.value(args[0], "speed") == 0)


FACT = FactEntry(
    name="stopped",
    summary="The drive stands still.",
    args=(ArgSpec(name="part", kinds=("drive",)),),
    yes="{0} stands still",
    no="{0} is running",
    observed=(
        "eye",
        "display",
    ),
    evaluate=evaluate,
)
