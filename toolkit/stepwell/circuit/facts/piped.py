"""piped: the gas supply is fed by an open outlet of piped gas."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.equipment import open_source_of
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    source = open_source_of(view, args[0])
    return tri(source is not None and source.word("store") == "piped")


FACT = FactEntry(
    name="piped",
    summary="The gas supply is fed by an open outlet of piped gas.",
    args=(ArgSpec(name="part", kinds=("gas-supply",)),),
    yes="{0} is fed by piped gas",
    no="{0} is not fed by piped gas",
    observed=("eye",),
    evaluate=evaluate,
)
