"""gas-sources-known: the rig lists its gas sources."""

from __future__ import annotations

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.equipment import parts_of
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(bool(parts_of(view.layout, "gas-source")))


FACT = FactEntry(
    name="gas-sources-known",
    summary="The rig lists the gas sources, so that it can be said what feeds a gas supply.",
    args=(),
    yes="the gas sources of the set are known",
    no="the gas sources of the set are not known",
    observed=(),
    evaluate=evaluate,
)
