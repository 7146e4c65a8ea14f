"""driven: the pump head turns: it sits on a drive that runs."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    pump = view.layout.pump(view.state)
    return tri(pump is not None and pump.head == view.layout.space_of[args[0]] and pump.turns(view.state))


FACT = FactEntry(
    name="driven",
    summary="The pump head turns: it sits on a drive that runs.",
    args=(ArgSpec(name="part", kinds=("pump-head",)),),
    yes="{0} turns",
    no="{0} stands still",
    observed=("eye", "display"),
    evaluate=evaluate,
)
