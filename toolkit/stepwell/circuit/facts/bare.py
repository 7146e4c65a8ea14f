"""bare: the end is joined to nothing and not covered."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.layout import BARE
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.value(args[0], "mate") == BARE)


FACT = FactEntry(
    name="bare",
    summary="The end is joined to nothing and not covered.",
    args=(ArgSpec(name="part", kinds=("end",)),),
    yes="{0} is open",
    no="{0} is joined or covered",
    observed=("eye",),
    evaluate=evaluate,
)
