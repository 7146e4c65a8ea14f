"""fed-by: the gas supply is connected to this gas source, and the source is open."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.equipment import open_source_of
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    source = open_source_of(view, args[0])
    return tri(source is not None and source.id == args[1])


FACT = FactEntry(
    name="fed-by",
    summary="The gas supply is connected to this gas source, and the source is open.",
    args=(ArgSpec(name="part", kinds=("gas-supply",)), ArgSpec(name="source", kinds=("gas-source",))),
    yes="{0} is fed by {1}",
    no="{0} is not fed by {1}",
    observed=("eye",),
    evaluate=evaluate,
)
