"""joined-dry: the end has just been joined dry, with liquid on one side of the joint."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, disjunction


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return disjunction(event.certainty for event in view.events if event.kind == "joined-dry" and event.part == args[0])


FACT = FactEntry(
    name="joined-dry",
    summary="The end has just been joined dry, with liquid on one side of the joint.",
    args=(ArgSpec(name="part", kinds=("end",)),),
    yes="{0} is joined with air in the joint",
    no="{0} is not joined dry",
    observed=("eye",),
    evaluate=evaluate,
    passing=True,
)
