"""falsely-zeroed: the sensor stores a zero taken against a live pressure or flow."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "zero") == "falsely-zeroed")


FACT = FactEntry(
    name="falsely-zeroed",
    summary="The sensor stores a zero taken against a live pressure or flow.",
    args=(ArgSpec(name="part", kinds=("pressure-sensor", "flow-sensor")),),
    yes="{0} stores a false zero",
    no="{0} stores no false zero",
    observed=(),
    evaluate=evaluate,
)
