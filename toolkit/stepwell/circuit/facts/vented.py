"""vented: the cap is of the vented sort, which lets gas pass even when it is on."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "sort") == "vented")


FACT = FactEntry(
    name="vented",
    summary="The cap is of the vented sort, which lets gas pass even when it is on.",
    args=(ArgSpec(name="part", kinds=("cap",)),),
    yes="{0} is a vented cap",
    no="{0} is a sealed cap",
    observed=("eye",),
    evaluate=evaluate,
)
