"""on-field: the inner part of the sterile pack lies on the sterile field."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "wrap") == "on-field")


FACT = FactEntry(
    name="on-field",
    summary="The inner part of the sterile pack lies on the sterile field.",
    args=(ArgSpec(name="part", kinds=("sterile-pack",)),),
    yes="{0} lies on the field",
    no="{0} does not lie on the field",
    observed=("eye",),
    evaluate=evaluate,
)
