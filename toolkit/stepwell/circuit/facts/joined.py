"""joined: the end is joined to another end."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.layout import FIRST_MATE
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.value(args[0], "mate") >= FIRST_MATE)


FACT = FactEntry(
    name="joined",
    summary="The end is joined to another end.",
    args=(ArgSpec(name="part", kinds=("end",)),),
    yes="{0} is joined",
    no="{0} is joined to nothing",
    observed=("eye",),
    evaluate=evaluate,
)
