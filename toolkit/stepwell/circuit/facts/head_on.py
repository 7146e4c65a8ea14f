"""head-on: the pump head sits on this drive."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    pump = view.layout.pump(view.state)
    here = pump is not None and pump.head == view.layout.space_of[args[0]] and view.state[pump.seated] == 0
    return tri(here and pump is not None and pump.drive == args[1])


FACT = FactEntry(
    name="head-on",
    summary="The pump head sits on this drive.",
    args=(
        ArgSpec(name="head", kinds=("pump-head",)),
        ArgSpec(name="drive", kinds=("drive",)),
    ),
    yes="{0} sits on {1}",
    no="{0} does not sit on {1}",
    observed=("eye",),
    evaluate=evaluate,
)
