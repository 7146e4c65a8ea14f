"""see-charge: the sign that the console charges."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Look for the sign. It proves the mains; without the plug in there is nothing to see."""
    part = action.parts[0]
    if bench.word(part, "supply") == "on-mains":
        bench.write(part, "mains", "mains-proven")
    return None


VERB = Verb(
    name="see-charge",
    summary="See the sign that the console charges from the mains.",
    words=("see", "look", "read", "check", "confirm"),
    does="looks for the charge sign of {0}",
    pairs=(("power",),),
    arity=Arity.EACH,
    effect=effect,
)
