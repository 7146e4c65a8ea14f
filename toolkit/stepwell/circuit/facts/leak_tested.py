"""leak-tested: the water side was looked at for leaks while water ran and the blood side was dry."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "test") == "leak-tested")


FACT = FactEntry(
    name="leak-tested",
    summary="The water side was looked at for leaks while water ran and the blood side was dry.",
    args=(ArgSpec(name="part", kinds=("water-circuit",)),),
    yes="{0} was tested for leaks while the blood side was dry",
    no="{0} was not tested for leaks while the blood side was dry",
    observed=(),
    evaluate=evaluate,
)
