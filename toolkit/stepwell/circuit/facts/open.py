"""open: the clamp, vent or gas source is open, or the cap is off."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """A clamp that is partly shut may be either, so it counts as neither where it must be sure."""
    if view.word(args[0], "gate") == "throttled":
        return Tri.MAYBE
    return tri(view.word(args[0], "gate") in ("open", "off", "clear"))


FACT = FactEntry(
    name="open",
    summary="The clamp, vent or gas source is open, or the cap is off (of the gas outlet too).",
    args=(ArgSpec(name="part", kinds=("clamp", "vent", "cap", "gas-source", "gas-outlet")),),
    yes="{0} is open",
    no="{0} is shut",
    observed=("eye",),
    evaluate=evaluate,
)
