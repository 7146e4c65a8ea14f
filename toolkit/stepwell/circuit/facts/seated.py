"""seated: the pump head sits on its drive."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "seat") == "seated")


FACT = FactEntry(
    name="seated",
    summary="The pump head sits on its drive.",
    args=(ArgSpec(name="part", kinds=("pump-head",)),),
    yes="{0} sits on its drive",
    no="{0} is not on its drive",
    observed=("eye",),
    evaluate=evaluate,
)
