"""gives-oxygen: the gas source holds oxygen and is open."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    part = view.layout.rig.part(args[0])
    return tri(part is not None and part.word("gas") == "oxygen" and view.word(args[0], "gate") == "open")


FACT = FactEntry(
    name="gives-oxygen",
    summary="The gas source holds oxygen and is open.",
    args=(ArgSpec(name="part", kinds=("gas-source",)),),
    yes="{0} gives oxygen",
    no="{0} gives no oxygen",
    observed=("gauge",),
    evaluate=evaluate,
)
