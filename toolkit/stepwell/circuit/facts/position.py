"""position: the tap stands at this position."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "position") == args[1])


FACT = FactEntry(
    name="position",
    summary="The tap stands at this position.",
    args=(
        ArgSpec(name="tap", kinds=("tap",)),
        ArgSpec(name="position", choices=("off", "line", "air", "all")),
    ),
    yes="{0} is at {1}",
    no="{0} is not at {1}",
    observed=("eye",),
    evaluate=evaluate,
)
