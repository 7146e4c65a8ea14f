"""plugged: the cable of the pressure sensor is connected."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "cable") == "plugged")


FACT = FactEntry(
    name="plugged",
    summary="The cable of the pressure sensor is connected.",
    args=(ArgSpec(name="part", kinds=("pressure-sensor",)),),
    yes="{0} is plugged in",
    no="{0} is not plugged in",
    observed=("eye",),
    evaluate=evaluate,
)
