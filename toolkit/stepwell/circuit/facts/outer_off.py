"""outer-off: the outer wrap of the sterile pack is open."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "wrap") != "sealed")


FACT = FactEntry(
    name="outer-off",
    summary="The outer wrap of the sterile pack is open.",
    args=(ArgSpec(name="part", kinds=("sterile-pack",)),),
    yes="the outer wrap of {0} is open",
    no="the outer wrap of {0} is shut",
    observed=("eye",),
    evaluate=evaluate,
)
