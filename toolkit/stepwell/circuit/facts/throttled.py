"""throttled: the clamp is partly shut."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(view.word(args[0], "gate") == "throttled")


FACT = FactEntry(
    name="throttled",
    summary="The clamp is partly shut.",
    args=(ArgSpec(name="part", kinds=("clamp",)),),
    yes="{0} is partly shut",
    no="{0} is not partly shut",
    observed=("eye",),
    evaluate=evaluate,
)
