"""shut: the clamp, vent or gas source is shut, or the cap is on."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """A clamp that is partly shut may be either, so it counts as neither where it must be sure."""
    if view.word(args[0], "gate") == "throttled":
        return Tri.MAYBE
    return tri(view.word(args[0], "gate") in ("shut", "on", "capped"))


FACT = FactEntry(
    name="shut",
    summary="The clamp, vent or gas source is shut, or the cap is on (of the gas outlet too).",
    args=(ArgSpec(name="part", kinds=("clamp", "vent", "cap", "gas-source", "gas-outlet")),),
    yes="{0} is shut",
    no="{0} is open",
    observed=("eye",),
    evaluate=evaluate,
)
