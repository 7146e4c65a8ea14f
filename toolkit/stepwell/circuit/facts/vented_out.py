"""vented-out: gas from the flush has an open way to the air."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.flushing import has_way_out
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    part = view.layout.rig.part(args[0])
    return tri(part is not None and has_way_out(view.layout, view.water, part))


FACT = FactEntry(
    name="vented-out",
    summary="Gas from the flush has an open way to the air.",
    args=(ArgSpec(name="part", kinds=("co2-flush",)),),
    yes="{0} has an open way out",
    no="{0} has no open way out",
    observed=("eye",),
    evaluate=evaluate,
)
