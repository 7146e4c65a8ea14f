"""joined-to: the two ends are joined to each other."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.layout import FIRST_MATE
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    mate = view.value(args[0], "mate")
    return tri(mate >= FIRST_MATE and view.layout.ends[mate - FIRST_MATE].part == args[1])


FACT = FactEntry(
    name="joined-to",
    summary="The two ends are joined to each other.",
    args=(
        ArgSpec(name="end", kinds=("end",)),
        ArgSpec(name="other", kinds=("end",)),
    ),
    yes="{0} is joined to {1}",
    no="{0} is not joined to {1}",
    observed=("eye",),
    evaluate=evaluate,
)
