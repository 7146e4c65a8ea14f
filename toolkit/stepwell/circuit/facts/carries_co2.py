"""carries-co2: the gas supply is connected to a source of carbon dioxide, open or not."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.equipment import source_of
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    source = source_of(view, args[0])
    return tri(source is not None and source.word("gas") == "co2")


FACT = FactEntry(
    name="carries-co2",
    summary="The gas supply is connected to a source of carbon dioxide, open or not.",
    args=(ArgSpec(name="part", kinds=("gas-supply",)),),
    yes="{0} is on carbon dioxide",
    no="{0} is not on carbon dioxide",
    observed=("eye",),
    evaluate=evaluate,
)
