"""running: the drive turns."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.value(args[0], "speed") > 0)


FACT = FactEntry(
    name="running",
    summary="The drive turns.",
    args=(ArgSpec(name="part", kinds=("drive",)),),
    yes="{0} is running",
    no="{0} stands still",
    observed=(
        "eye",
        "display",
    ),
    evaluate=evaluate,
)
