"""limb-end: the end belongs to a limb: its role is drain or return."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.layout.end_of(args[0]).role != "none")


FACT = FactEntry(
    name="limb-end",
    summary="The end belongs to a limb: its role is drain or return.",
    args=(ArgSpec(name="part", kinds=("end",)),),
    yes="{0} is the end of a limb",
    no="{0} is not the end of a limb",
    observed=("eye",),
    evaluate=evaluate,
)
